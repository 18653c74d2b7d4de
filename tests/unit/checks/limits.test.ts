import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analysePlan, checkPlan } from '../../support/plans.ts';

/**
 * Plans that meet every limit exactly, reckoned by hand in their comments: nothing is found in them. A line `#> words ->
 * codes` stands for a plan of its own, in which these words replace the line above; that is one step too far, and the
 * codes are all that is found in it.
 */
const FOLDER = new URL('../../fixtures/limits/', import.meta.url);

interface Step {
  readonly line: number;
  readonly words: string;
  readonly codes: readonly string[];
}

function stepsOf(text: string): Step[] {
  const steps: Step[] = [];
  let line = 0;
  for (const [index, words] of text.split('\n').entries()) {
    const [, instead, codes] = /^#> (.+) -> ([a-z -]+)$/.exec(words) ?? [];
    if (instead === undefined || codes === undefined) line = index;
    else steps.push({ line, words: instead, codes: codes.split(' ') });
  }
  return steps;
}

describe.each(readdirSync(FOLDER))('%s', (name) => {
  const text = readFileSync(new URL(name, FOLDER), 'utf8');
  const steps = stepsOf(text);

  it('is quiet at its limits', () => {
    expect(steps.length).toBe(text.match(/^#>/gm)?.length);
    checkPlan(text);
  });

  it.each(steps.map((step) => [`${step.line + 1}: ${step.words}`, step] as const))(
    '%s',
    (_, { line, words, codes }) => {
      const lines = text.split('\n');
      lines[line] = words;
      const { findings } = analysePlan(lines.join('\n')).analysis;
      expect(findings.map(({ code }) => code).sort()).toEqual([...codes].sort());
    },
  );
});
