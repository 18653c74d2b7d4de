import { describe, expect, it } from 'vitest';
import { parse } from '#grammar/parser.ts';
import { draftsAt } from '#server/ide/declare.ts';
import { DISPLAY } from '../../support/display.ts';
import { edited, marked } from '../../support/marked.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';
import { filled } from '../../support/snippet.ts';

function drafted(plan: string) {
  const { analysis, uri, text, offset } = marked(plan);
  const [draft, ...others] = draftsAt(analysis, uri, { start: offset, end: offset });
  expect(others).toEqual([]);
  if (draft === undefined) return undefined;
  const { title, at, snippet } = draft;
  return { title, text: edited(text, [{ start: at, end: at, text: filled(snippet) }]) };
}

const unknown = (text: string): string[] =>
  analysePlan(text)
    .analysis.findings.filter(({ code, origin }) => code === 'unknown-name' && origin.uri === MAIN)
    .map(({ origin: { declaration, start, end } }) => declaration.text.slice(start, end));

/** Lines with a name that nothing has, by what would declare it. */
const LINES: readonly (readonly [declares: string, line: string])[] = [
  ['place', 'supply left  of bench-12  at |quay {\n  output 1  fuse 5 A\n}'],
  ['place', 'feed up  from psu.2  to eaves  2 m  of feed-14  along shed to |quay'],
  ['part pixel', 'prop star {\n  string 5 px  of |quay  every 100 mm\n}'],
  ['part panel', 'run sign  from box.2 {\n  panels 2 rows x 2 columns  of |quay\n}'],
  ['part flood', 'flood wash  1  of |quay  from psu.2'],
  ['part cable', 'feed up  from psu.2  to eaves  2 m  of |quay'],
  ['part connector', 'feed up  from psu.2  to eaves  2 m  of feed-14  with |quay'],
  ['part supply', 'supply left  of |quay {\n  output 1  fuse 5 A\n}'],
  ['part controller', 'controller left  of |quay'],
  ['part receiver', 'receiver far  of |quay {\n}'],
  ['circuit', 'supply left  of bench-12  on |quay {\n  output 1  fuse 5 A\n}'],
  ['supply', 'feed up  from |quay.2  to eaves  2 m  of feed-14'],
  ['controller', 'run more  from |quay.2 {\n  lead 1 m  of lead-18\n  string 5 px  of steady-12  every 100 mm\n}'],
  ['prop', 'run more  from box.2 {\n  lead 1 m  of lead-18\n  copies 2  of |quay\n}'],
  ['run', 'feed up  from psu.2  to |quay.end  2 m  of feed-14'],
];

describe('a draft of a declaration', () => {
  it.each(LINES)('of a %s is offered on its name in: %s', (declares, line) => {
    const plan = `${DISPLAY}\n${line}\n`;
    const found = drafted(plan);
    expect(found?.title).toBe(`Declare ${declares} quay, to be filled in`);
    const before = plan.replace('|', '');
    expect(unknown(before)).toContain('quay');
    expect(unknown(found?.text ?? '')).not.toContain('quay');
    expect(found?.text).toContain(`${declares} quay`);
    expect(parse(found?.text ?? '').problems).toEqual([]);
  });

  it('stands behind the last of its kind, with the blank lines that such have', () => {
    const place = drafted(`${DISPLAY}supply left  of bench-12  at |quay {\n  output 1  fuse 5 A\n}\n`);
    expect(place?.text).toMatch(/place roof\nplace quay "[^"\n]+"\nroute shed/);
    const supply = drafted(`${DISPLAY}feed up  from |quay.2  to eaves  2 m  of feed-14\n`);
    expect(supply?.text).toMatch(/fuse 7\.5 A\n\}\n\nsupply quay [^}]+\}\n\ncontroller box/);
  });

  it('stands above what needs it, and above its comment, where there is none of its kind yet', () => {
    const cable = drafted(`${DISPLAY}\n## To the far end.\nfeed up  from psu.2  to eaves  2 m  of |quay\n`);
    expect(cable?.text).toMatch(/\}\n\npart cable quay [^}]+\}\n\n## To the far end\.\nfeed up/);
  });

  it.each(['\n', '\r\n', '\r'])('stands on a line of its own in a text whose lines end with %j', (end) => {
    const text = 'place shed # the old one\nroute shed to |quay  3 m\n'.replaceAll('\n', end);
    expect(drafted(text)?.text.split(/\r\n|\n|\r/)).toEqual([
      'place shed # the old one',
      expect.stringMatching(/^place quay "[^"]+"$/),
      'route shed to quay  3 m',
      '',
    ]);
  });

  it('is not offered for a name that another thing has, nor for a number of an output', () => {
    expect(drafted(`${DISPLAY}feed up  from psu.2  to eaves  2 m  of |psu\n`)).toBeUndefined();
    expect(drafted(`${DISPLAY}feed up  from psu.|7  to eaves  2 m  of feed-14\n`)).toBeUndefined();
  });
});

it('nothing is declared for an output, a port or a string that is not there: its owner is', () => {
  const line = (from: string) => `${DISPLAY}feed up  from ${from}  to eaves.end  2 m  of feed-14\n`;
  expect(drafted(line('psu.|9'))).toBeUndefined();
  expect(drafted(`${DISPLAY}feed up  from psu.2  to eaves.|nowhere  2 m  of feed-14\n`)).toBeUndefined();
});
