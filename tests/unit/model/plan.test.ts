import { describe, expect, it, test } from 'vitest';
import { conductorOhms } from '#server/model/conductors.ts';
import type { Plan } from '#server/model/plan.ts';
import { analysePlan } from '../../support/plans.ts';

/** What a plan comes to: where a tap is, how long a cable is, what lies along a run. */

const HEAD = `
use "bench.festoon"
place shed
place roof
place ridge
route shed to roof  14 m
route ridge to roof  6 m
supply psu  of bench-12  at shed {
  outputs 1 to 8  fuse 10 A
}
controller box  of board  at shed  from psu.1
prop flake {
  star core  10 px  of steady-12  every 50 mm
  gap 0.2 m
  string tip  5 px  of steady-12  every 50 mm
}
run long  from box.1 {
  lead 3 m  of lead-18
  outline gutter  150 px  of steady-12  every 75 mm
  gap 0.9 m
  outline gable  80 px  of steady-12  every 75 mm
  copies flakes  4  of flake  gap 1 m
  matrix sail  6 strands x 20 px  of steady-12  every 50 mm
}
`;
// gutter 1 to 150, gable 151 to 230, flakes 231 to 290 (15 each), sail 291 to 410 (20 each).

const planOf = (lines: string): Plan => {
  const { analysis } = analysePlan(HEAD + lines);
  const wrong = analysis.findings.filter(({ code }) => /name|phrase|word|value|unit/.test(code));
  expect(wrong.map(({ message }) => message)).toEqual([]);
  return analysis.plan;
};

describe('a tap', () => {
  // The pixel beside which it is, counted along the run; at the start of a string it is before its first pixel.
  it.each([
    ['long', 'before', 1],
    ['long.start', 'before', 1],
    ['long[1]', 'at', 1],
    ['long[150]', 'at', 150],
    ['long[151]', 'at', 151],
    ['long.end', 'at', 410],
    ['long.gutter', 'before', 1],
    ['long.gutter.end', 'at', 150],
    ['long.gable', 'before', 151],
    ['long.gable[3]', 'at', 153],
    ['long.flakes', 'before', 231],
    ['long.flakes(3)', 'before', 261],
    ['long.flakes(3).end', 'at', 275],
    ['long.flakes(3)[12]', 'at', 272],
    ['long.flakes(3).tip', 'before', 271],
    ['long.flakes.end', 'at', 290],
    ['long.sail(5)', 'before', 371],
    ['long.sail(5).end', 'at', 390],
    ['long.sail[21]', 'at', 311],
  ])('%s is %s pixel %d', (reference, side, pixel) => {
    const [feed] = planOf(`feed f  from psu.2  to ${reference}  5 m  of feed-14`).feeds.values();
    const tap = feed?.pieces.find((piece) => piece.kind === 'tap');
    if (tap?.kind !== 'tap') throw new Error('no tap');
    const { piece, pixel: number } = tap.tap;
    expect([number === 0 ? 'before' : 'at', piece.first + Math.max(number - 1, 0)]).toEqual([side, pixel]);
  });
});

describe('the length of a cable', () => {
  const lengths = (lines: string) =>
    [...planOf(lines).feeds.values()].flatMap((feed) =>
      feed.pieces.flatMap((piece) => (piece.kind === 'cable' ? [piece.length] : [])),
    );

  it('is what is written', () => {
    expect(lengths('feed f  from psu.2  to long  12 ft 6 in  of feed-14  along shed to roof')[0]).toBeCloseTo(3.81, 12);
  });

  it('is that of its way, and half a metre of slack at each end', () => {
    expect(lengths('feed f  from psu.2  to long  of feed-14  along shed to roof')).toEqual([15]);
    expect(lengths('feed f  from psu.2  to long  of feed-14  along shed to roof to ridge')).toEqual([21]);
  });

  it('has the slack of the plan', () => {
    const lines = 'plan {\n  slack 1 m\n}\nfeed f  from psu.2  to long  of feed-14  along roof to shed';
    expect(lengths(lines)).toEqual([16]);
  });
});

describe('what lies along a run', () => {
  it('is laid out with its copies and strands', () => {
    const run = planOf('').runs.get('long');
    const strings = run?.pieces.filter((piece) => piece.kind === 'string') ?? [];
    expect(run?.pixelCount).toBe(410);
    expect(strings.length).toBe(2 + 4 * 2 + 6);
    let next = 1;
    for (const string of strings) {
      expect(string.first).toBe(next);
      next += string.count;
    }
    // Gaps: one between gutter and gable, one in each flake, three between flakes, five between strands.
    expect(run?.pieces.filter((piece) => piece.kind === 'gap').length).toBe(1 + 4 + 3 + 5);
    expect(run?.pieces.filter((piece) => piece.kind === 'gap' && piece.bare).length).toBe(5);
  });

  it('has gaps of its own wire where no cable is named', () => {
    const run = planOf('').runs.get('long');
    const gap = run?.pieces.find((piece) => piece.kind === 'gap');
    const string = run?.pieces.find((piece) => piece.kind === 'string');
    if (gap?.kind !== 'gap' || string?.kind !== 'string') throw new Error('nothing there');
    expect(conductorOhms(gap.wire, 1, 20)).toBe(conductorOhms(string.part.wire, 1, 20));
  });
});

describe('what holds where nothing is said', () => {
  it('names its source', () => {
    const { design } = analysePlan('').analysis.plan;
    for (const setting of [
      design.frameRate,
      design.air,
      design.look,
      design.supplyShare,
      design.fuseShare,
      design.slack,
    ]) {
      expect(setting.origin).toBeUndefined();
      expect(setting.source.length).toBeGreaterThan(10);
    }
    // Common practice: 40 frames a second, 80 % of supplies and fuses, half a metre of slack.
    expect(design.frameRate.value).toBe(40);
    expect(design.supplyShare.value).toBe(0.8);
    expect(design.fuseShare.value).toBe(0.8);
    expect(design.slack.value).toBe(0.5);
  });

  it('is said of a part: least 90 %, at most 115 % of its nominal voltage', () => {
    const { analysis } = analysePlan('part pixel p {\n  voltage 12 V\n  red 20 mA\n  wire 18 AWG\n}');
    const part = analysis.plan.pixels.get('p');
    expect(part?.least?.value).toBeCloseTo(10.8, 12);
    expect(part?.accepts?.value.to).toBeCloseTo(13.8, 12);
    expect(part?.least?.source).toContain('common practice');
  });
});

it.each([
  ['14 in', '12 in', '1 m', 'imperial'],
  ['14in', '12in', '1 m', 'imperial'],
  ['14 ft 2in', '12in', '1m', 'imperial'],
  ['14 in', '12 m', '1 m', 'metric'],
  ['14 min', '12 m', '1 m', 'metric'],
])('lengths of %s, %s and %s are shown in units that are %s', (first, second, third, units) => {
  const routes = [first, second, third].map((length, n) => `route shed to roof-${n}  ${length}`);
  expect(analysePlan(`plan "units"\n${routes.join('\n')}\n`).analysis.plan.design.units).toBe(units);
});

test.each([
  [
    'strands',
    `matrix m  100000 strands x 2 px  of faint  every 0.1 mm${'\n  string 1 px  of faint  every 1 mm'.repeat(2)}`,
  ],
  ['panels', 'panels 256 rows x 1024 columns  of tile'],
])('a run of more pieces than anybody hangs is laid out as far as it may be: %s', (_, line) => {
  const { analysis } = analysePlan(`part pixel faint {
  voltage 12 V
  red 0.001 mA
  wire 18 AWG
}
part panel tile {
  voltage 5 V
  size    2 rows x 4 columns
  draws   0.001 A  knee 4 V  dark 3 V
  scan    1
  data    8 bits at 20 MHz
}
run row {
  ${line}
}
`);
  expect(analysis.plan.runs.get('row')?.pieces.length).toBe(200_000);
  expect(analysis.findings.map(({ message }) => message)).toContainEqual(
    expect.stringContaining(
      'row would have more than 1,000,000 pixels or 200,000 pieces. What lies beyond is left out.',
    ),
  );
});
