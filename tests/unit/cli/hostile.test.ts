/** Plans come from other people: nothing in them may steer the terminal of whoever checks them. */
import { describe, expect, it } from 'vitest';
import { displayWidth, printable } from '#server/cli/printable.ts';
import { festoon, SMALL } from './console.ts';

/** Sequences that retitle the window, move the cursor, hide text or turn its direction (ECMA-48; Unicode annex 9). */
const ATTACKS = [
  '\u001b]0;owned\u0007',
  '\u001b[2J\u001b[H',
  '\u001b[8m',
  '\u009b31m',
  '\u0008\u0008\u0008',
  '\u007f',
  '\u0085',
  '\u202edlrow\u202c',
  '\u2066x\u2069',
  '\u200e\u200f\u061c',
  '\u2028\u2029',
  '\u200b\u2060\ufeff',
  '\u{e0041}',
];

/** Everything that may steer a terminal: controls but for the line feed, marks of direction, invisible marks. */
const STEERING = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u;
const withoutLines = (text: string) => text.replaceAll('\n', '');

const poisoned = ATTACKS.map((attack) => {
  const plan = SMALL.replace('"Porch"', `"Porch ${attack}"`)
    .replace('place shed', `place shed "${attack}"`)
    .replace('supply psu', `supply psu "${attack} door"`)
    .replace('run porch-edge', `## ${attack}\nrun porch-edge`)
    .replace('least   11 V', `least   11.9 V # ${attack}`)
    .replace('string edge', `string edge "${attack}"`);
  return [JSON.stringify(attack), `${plan}use "${attack}.festoon"\nfeed x${attack}y from psu.1\n`] as const;
});

describe('nothing from a plan reaches the terminal raw', () => {
  it.each(poisoned)('%s', (_, plan) => {
    const files = { '/plans/a.festoon': plan };
    const texts = [
      festoon(['check', 'a.festoon'], { files }),
      festoon(['check', '--format', 'json', 'a.festoon'], { files }),
      festoon(['solve', 'a.festoon'], { files }),
      festoon(['solve', '--format', 'json', 'a.festoon'], { files }),
      festoon(['netlist', 'a.festoon'], { files }),
    ];
    for (const { out, err, exit } of texts) {
      expect(exit).toBe(1);
      expect(out.length).toBeGreaterThan(200);
      expect(withoutLines(out + err)).not.toMatch(STEERING);
    }
    const coloured = festoon(['check', 'a.festoon'], { files, colour: true }).out;
    expect(withoutLines(coloured.replace(/\u001b\[(?:0|1|2|33|32|36|1;31)m/g, ''))).not.toMatch(STEERING);
  });

  it.each(
    ATTACKS.filter((attack) => !attack.includes('\u0000')).map((attack) => [JSON.stringify(attack), attack] as const),
  )('in a file name or an argument: %s', (_, attack) => {
    const name = `a${attack}.festoon`;
    const files = { [`/plans/${name}`]: SMALL, '/plans/b.festoon': SMALL };
    for (const args of [
      ['check', name, `gone${attack}`],
      ['check', '--format', 'json', name, `gone${attack}`],
      ['solve', name],
      ['format', '--check', name, `gone${attack}`],
      ['explain', attack],
      [attack],
      ['check', `--${attack}`],
      ['check', '--root', attack, 'b.festoon'],
    ]) {
      const { out, err } = festoon(args, { files });
      expect(out + err).not.toBe('');
      expect(withoutLines(out + err)).not.toMatch(STEERING);
    }
  });

  it('says by its number what it does not print', () => {
    const { out } = festoon(['check', 'a.festoon'], {
      files: { '/plans/a.festoon': SMALL.replace('"Porch"', '"Porch \u202eworld"') },
    });
    expect(out).toContain('Porch <U+202E>world');
  });

  it('keeps the words of the plan in JSON', () => {
    const title = 'Porch \u202e\u009b\u{e0041}';
    const { out } = festoon(['check', '--format', 'json', 'a.festoon'], {
      files: { '/plans/a.festoon': SMALL.replace('"Porch"', `"${title}"`) },
    });
    expect(JSON.parse(out).plans[0].title).toBe(title);
  });
});

describe('printable text', () => {
  it.each([
    ['plain', 'plain'],
    ['a\tb', 'a b'],
    ['a\r\nb', 'a<U+000D><U+000A>b'],
    ['\ud800', '<U+D800>'],
    ['\u{e0001}', '<U+E0001>'],
    ['\u{1f468}\u200d\u{1f469}', '\u{1f468}\u200d\u{1f469}'],
    ['屋根', '屋根'],
  ])('of %j is %j', (text, expected) => {
    expect(printable(text)).toBe(expected);
  });

  it.each([
    ['abc', 3],
    ['é', 1],
    ['e\u0301', 1],
    ['屋根', 4],
    ['\u{1f384}', 2],
    ['한', 2],
  ])('%j takes %i columns', (text, width) => {
    expect(displayWidth(text)).toBe(width);
  });
});
