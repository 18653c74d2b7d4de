import { describe, expect, it } from 'vitest';
import { problemsOf } from '#server/ide/problems.ts';
import { INHERITED, inherited, PATHOLOGICAL } from '../support/fuzz/pathological.ts';
import { hostOfText, MAIN } from '../support/fuzz/plan-host.ts';
import { holdFindings, holdOutputs, holdPlace, holdViews } from '../support/fuzz/plan-invariants.ts';
import { holdFormat, holdSpans, holdTiles } from '../support/fuzz/text-invariants.ts';

const files = Object.entries(PATHOLOGICAL);

function hold(text: string): void {
  holdTiles(text);
  holdSpans(text);
  holdFormat(text);
  const analysis = hostOfText(text).analyse(MAIN);
  holdFindings(analysis, text);
  holdViews(analysis, MAIN, text);
  holdOutputs(analysis, text);
  for (const share of [0, 0.2, 0.5, 0.9, 1]) holdPlace(analysis, MAIN, Math.floor(share * text.length), text);
}

describe('a file that has broken others', () => {
  it('is one of at least sixty', () => {
    expect(files.length).toBeGreaterThanOrEqual(60);
  });

  it.each(files)('%s', { timeout: 60_000 }, (_, text) => hold(text));

  it.each(INHERITED)('with the name %s everywhere', (name) => {
    const text = inherited(name);
    hold(text);
    const { plan } = hostOfText(text).analyse(MAIN);
    expect([...plan.runs.keys()]).toEqual([name]);
    expect(({} as Record<string, unknown>)['voltage']).toBeUndefined();
  });
});

describe('a hundred thousand errors', () => {
  it('are shown up to a thousand, the last of which says how many more there are', () => {
    const text = 'nonsense\n'.repeat(40_000);
    const problems = problemsOf(hostOfText(text).analyse(MAIN), MAIN);
    expect(problems).toHaveLength(1000);
    expect(problems.at(-1)).toMatchObject({ code: 'more-findings', level: 'information' });
    expect(problems.at(-1)?.message).toContain('39001 more findings');
  });
});
