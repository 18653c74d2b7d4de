import { describe, expect, it } from 'vitest';
import type { Analysis } from '#server/analysis/analysis.ts';
import { offsetsOf } from '#server/analysis/host.ts';
import { analysePlan, hostOf, MAIN } from '../../support/plans.ts';
import { seededRandom } from '../../support/random-circuit.ts';
import { textOf } from '../../support/samples.ts';

/**
 * Whatever stands in a file: no throw, a plain message on the spot, and the rest of the plan is computed as ever.
 * How long it takes is not judged here; that each of these ends is.
 */

/** A small sound display; whatever is put in front of it or behind it must leave its run as it is. */
const SOUND = `
use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box  of board  from psu.1
run eaves  from box.1 {
  lead 3 m  of lead-18
  string gutter  40 px  of steady-12  every 100 mm
}
`;

const soundLeast = leastOf(analysePlan(SOUND).analysis);

function leastOf(analysis: Analysis, run = 'eaves'): number | undefined {
  return [...analysis.account.runs.values()].find((other) => other.run.name === run)?.least?.volts;
}

/** Analyses a text in front of the sound display, and checks that it stands and that all findings point into the text. */
function analyseWith(text: string): Analysis {
  const { analysis, host } = analysePlan(`${text}\n${SOUND}`);
  expect(leastOf(analysis)).toBe(soundLeast);
  for (const finding of analysis.findings.slice(0, 1000)) {
    const file = host.fileOf(finding.origin.uri);
    const at = file === undefined ? undefined : offsetsOf(file, finding.origin);
    expect(at).toBeDefined();
    expect(finding.message.length).toBeLessThan(600);
    expect(finding.message).not.toMatch(/undefined|NaN|\[object|Infinity/);
  }
  return analysis;
}

const codesOf = (analysis: Analysis): string[] => [...new Set(analysis.findings.map((finding) => finding.code))].sort();

it('the sound display is sound', () => {
  expect(analysePlan(SOUND).analysis.findings).toEqual([]);
  expect(soundLeast).toBeGreaterThan(10.8);
});

describe('text that is none', () => {
  it('every byte there is', () => {
    const bytes = String.fromCharCode(...Array.from({ length: 256 }, (_, byte) => byte));
    expect(codesOf(analyseWith(bytes))).toContain('hidden-character');
  });

  it('a picture, read as if it were text', () => {
    const random = seededRandom(7);
    const bytes = Uint8Array.from({ length: 50_000 }, () => random() * 256);
    const codes = codesOf(analyseWith(new TextDecoder().decode(bytes)));
    expect(codes).toContain('stray-text');
    expect(codes).toContain('hidden-character');
  });

  it.each([
    ['nothing', ''],
    ['blanks and line breaks', ' \t\n\r\n \u00a0\n'],
    ['comments', '# one\n## two\n#'],
    ['a byte order mark', '\ufeff'],
  ])('%s', (_, text) => {
    expect(analysePlan(text).analysis.findings).toEqual([]);
    expect(analyseWith(text).findings).toEqual([]);
  });

  it('half a character', () => {
    expect(codesOf(analyseWith('place shed  "\ud83d"\nplace \ud83d'))).toEqual(['missing-name', 'stray-text']);
    expect(codesOf(analyseWith('use "\ud83d"'))).toEqual(['file-outside']);
  });
});

describe('text that is not finished', () => {
  it('a plan that is typed letter by letter', () => {
    for (let length = 0; length <= SOUND_OTHER.length; length++) analyseWith(SOUND_OTHER.slice(0, length));
    expect(analyseWith(SOUND_OTHER).findings).toEqual([]);
  });

  it('a line that is typed letter by letter in the middle of a plan', () => {
    const line = 'feed eaves-end  from psu.1  to eaves.gutter[40]  5 ft 4 in of feed-14 x 2  with none  along a to b';
    for (let length = 1; length <= line.length; length++) analyseAround(line.slice(0, length));
  });
});

/** The same kinds of lines as in the sound display, under other names. */
const SOUND_OTHER = `supply other-psu  of bench-12 {
  output 1  fuse 15 A
}
controller other-box  of board  from other-psu.1
run gable  from other-box.1 {
  lead 3 m  of lead-18
  string verge  40 px  of steady-12  every 100 mm
}
`;

function analyseAround(line: string): void {
  const [before = '', after = ''] = SOUND.split('controller');
  const { analysis } = analysePlan(`${before}${line}\ncontroller${after}`);
  expect(analysis.findings.every((finding) => !/undefined|NaN/.test(finding.message))).toBe(true);
  expect(leastOf(analysis)).toBeDefined();
}

describe('things that cannot be', () => {
  const run = (lines: string) => `run big  from box.2 {\n${lines}\n}`;

  it.each([
    ['a billion pixels', run('  string 1000000000 px  of steady-12  every 75 mm'), /1000000000 px cannot be real/],
    ['a billion strands', run('  matrix 1000000000 strands x 50 px  of steady-12  every 75 mm'), /cannot be real/],
    ['a billion copies', `prop p {\n}\n${run('  copies 1000000000  of p')}`, /1000000000 cannot be real/],
    ['pixels below none', run('  string -5 px  of steady-12  every 75 mm'), /-5 px cannot be real/],
    [
      'a cable of 10 km',
      run('  lead 10 km  of lead-18\n  string 1 px  of steady-12  every 1 m'),
      /10 km cannot be real/,
    ],
    ['no length at all', run('  lead 0 m  of lead-18\n  string 1 px  of steady-12  every 1 m'), /0 m cannot be real/],
    ['a wire of gauge 1000', 'part cable c {\n  conductor 1000 AWG\n  carries V+\n}', /1000 AWG cannot be real/],
    ['air hotter than fire', 'plan {\n  air 20 degC to 2000 degC\n}', /2000 degC cannot be real/],
    ['ice below zero kelvin', 'plan {\n  air -500 degC to 20 degC\n}', /-500 degC cannot be real/],
  ])('%s', (_, text, message) => {
    // The bench and its run come first, so that nothing here is missing; the plan's own settings are left out.
    const { analysis } = analysePlan(`${SOUND}\n${text}`);
    expect(analysis.findings.map((finding) => finding.code)).toContain('impossible-value');
    expect(analysis.findings.map((finding) => finding.message).join('\n')).toMatch(message);
    expect(leastOf(analysis)).toBeCloseTo(soundLeast ?? 0, 2);
  });

  it('many small numbers that make a large one', () => {
    const props = 'prop p {\n  matrix 1000 strands x 1000 px  of steady-12  every 1 mm\n}';
    const { analysis } = analysePlan(`${SOUND}${props}\nrun big  from other.1 {\n  copies 10000  of p\n}`);
    expect(analysis.findings.map((finding) => finding.code)).toContain('impossible-value');
    expect(leastOf(analysis)).toBe(soundLeast);
  });

  it('a number without an end', () => {
    const [finding] = analyseWith(`place a\nplace b\nroute a to b  ${'1'.repeat(1_000_000)} m`).findings;
    expect(finding?.code).toBe('impossible-value');
    expect(finding?.message).toMatch(/^1{60}… m cannot be real here/);
  });
});

describe('files', () => {
  const served = (files: Record<string, string>) => {
    const analysis = hostOf(new Map(Object.entries(files))).analyse(MAIN);
    expect(leastOf(analysis)).toBe(soundLeast);
    return analysis.findings.map((finding) => [finding.code, finding.message]);
  };

  it('that use each other in a circle', () => {
    const found = served({
      'plan.festoon': `use "a.festoon"\n${SOUND}`,
      'a.festoon': 'use "b.festoon"',
      'b.festoon': 'use "c.festoon"\nplace shed',
      'c.festoon': 'use "a.festoon"',
    });
    expect(found).toEqual([['file-cycle', expect.stringContaining('"a.festoon"')]]);
  });

  it('that use themselves, where there is no other line to take out', () => {
    const found = served({ 'plan.festoon': `use "a.festoon"\n${SOUND}`, 'a.festoon': 'use "./a.festoon"' });
    expect(found).toEqual([['file-cycle', '"./a.festoon" is this file itself. Take the "use" line out.']]);
  });

  it('that use one another deeper than anyone could follow', () => {
    const files: Record<string, string> = { 'plan.festoon': `use "f0.festoon"\n${SOUND}` };
    for (let depth = 0; depth < 100; depth++) files[`f${depth}.festoon`] = `use "f${depth + 1}.festoon"`;
    expect(served(files)).toEqual([['file-cycle', expect.stringContaining('deep')]]);
  });

  it('that are not there', () => {
    expect(served({ 'plan.festoon': `use "none.festoon"\n${SOUND}` })).toEqual([
      ['missing-file', 'There is no file "none.festoon" beside this one, or it cannot be read.'],
    ]);
  });

  it('that lie outside', () => {
    for (const path of ['../x', '/etc/x', 'C:\\x', '\\\\host\\x', 'http://host/x', 'a/../../x', '..', '.', '']) {
      const [first, ...others] = served({ 'plan.festoon': `use "${path}"\n${SOUND}` });
      expect([path, first?.[0]]).toEqual([path, 'file-outside']);
      expect(others).toEqual([]);
    }
  });

  it('that hold something else than a plan', () => {
    const found = served({
      'plan.festoon': `use "picture.festoon"\n${SOUND}`,
      'picture.festoon': '\u0000\u0001PNG\u0002',
    });
    expect(found.map(([code]) => code)).toContain('hidden-character');
  });

  it('of which the main one is missing', () => {
    const analysis = hostOf(new Map()).analyse('file:///display/other.festoon');
    expect(analysis.findings).toEqual([]);
    expect(analysis.account.runs.size).toBe(0);
  });
});

describe('line ends', () => {
  const plans = ['parts/stock.festoon', 'boathouse/yard.festoon'].map(textOf).join('\n');
  const plain = analysePlan(plans).analysis;

  it.each([
    ['carriage return and line feed', plans.replaceAll('\n', '\r\n')],
    ['carriage return alone', plans.replaceAll('\n', '\r')],
    ['a byte order mark in front', `\ufeff${plans}`],
    ['no line end behind the last line', plans.trimEnd()],
    [
      'all kinds mixed',
      plans.split('\n').reduce((text, line, index) => text + line + ['\n', '\r\n', '\r'][index % 3], ''),
    ],
  ])('%s', (_, text) => {
    const { analysis } = analysePlan(text);
    const told = ({ findings }: Analysis) => findings.map(({ code, message }) => `${code}: ${message}`);
    expect(told(analysis)).toEqual(told(plain));
    expect(leastOf(analysis, 'flakes')).toBe(leastOf(plain, 'flakes'));
    expect(leastOf(plain, 'flakes')).toBeGreaterThan(10);
  });
});

describe('names', () => {
  it('that mean something to the machine', () => {
    const names = [
      '__proto__',
      'constructor',
      'toString',
      'hasOwnProperty',
      'valueOf',
      'prototype',
      'length',
      'undefined',
    ];
    const text = names
      .map(
        (name, index) => `
place ${name}  "${name}"
supply ${name}  of bench-12  at ${name} {
  output 1  fuse 15 A
}
controller ${name}-box  of board  from ${name}.1
run ${name}  from ${name}-box.${index + 1} {
  string ${name}  10 px  of steady-12  every 100 mm
}
feed ${name}  from ${name}.1  to ${name}.${name}  5 m  of feed-14`,
      )
      .join('\n');
    const analysis = analyseWith(text);
    expect(analysis.findings).toEqual([]);
    for (const name of names) expect(leastOf(analysis, name)).toBeGreaterThan(11);
  });

  it('that mean something to the machine and are not declared', () => {
    const text = 'supply s  of __proto__  at constructor {\n  __proto__ 5\n  constructor\n}\n__proto__ x\ntoString';
    expect(codesOf(analyseWith(text))).toEqual(['unknown-name', 'unknown-word']);
    expect(codesOf(analyseWith('place a  __proto__ toString'))).toEqual(['unexpected-word']);
    expect(codesOf(analyseWith('place a\nplace b\nroute a to b  5 constructor'))).toContain('missing-unit');
  });

  it('made of pictures', () => {
    const analysis = analyseWith('place 🎄🎄  "🎄 in a text is fine"\nrun 🎄  from box.2');
    expect(analysis.findings.map(({ code, origin }) => [code, wordOf(origin)])).toEqual([
      ['stray-text', '🎄🎄'],
      ['missing-name', 'place'],
      ['stray-text', '🎄'],
      ['missing-name', 'run'],
    ]);
  });

  it('of a million letters', () => {
    const name = 'w'.repeat(1_000_000);
    expect(analyseWith(`place ${name}`).findings).toEqual([]);
    const [finding] = analyseWith(`supply s  of bench-12  at ${name}`).findings;
    expect(finding?.message).toMatch(/^There is no place "w{50,60}…/);
  });
});

const wordOf = (origin: Analysis['findings'][number]['origin']) =>
  origin.declaration.text.slice(origin.start, origin.end);

describe('far too much', () => {
  // Just below the 50,000 lines beyond which a file is not read at all.
  const many = (line: string) => `${line}\n`.repeat(49_900);

  it.each([
    ['49,900 lines that mean nothing', many('plcae x'), 'unknown-word', 49_900],
    ['49,900 strange characters on lines of their own', many('?'), 'stray-text', 49_900],
    ['49,900 places of one name', many('place x'), 'duplicate-name', 49_899],
    ['49,900 numbers without unit in one block', `prop p {\n${many('  gap 5')}}`, 'missing-unit', 49_900],
    ['49,900 blocks inside one another', many('a {'), 'too-deep', 49_896],
    ['49,900 blocks closed that were never open', many('}'), 'stray-brace', 49_900],
    ['49,900 lines of description', `${many('## told at length')}place x y`, 'unexpected-word', 1],
    ['a million opening quotes in a row', `place a ${'"'.repeat(1_000_001)}`, 'unclosed-text', 1],
    ['a line of a megabyte', `place a ${'word '.repeat(200_000)}`, 'unexpected-word', 200_000],
    ['a line of a megabyte of strange characters', `place a ${'?'.repeat(1_000_000)}`, 'stray-text', 1],
    ['a megabyte of steps', `supply s  of bench-12  at a${'.b'.repeat(500_000)}`, 'unknown-name', 1],
  ])('%s', (_, text, code, times) => {
    const found = analyseWith(text).findings.filter((finding) => finding.code === code);
    expect(found.length).toBe(times);
  });
});
