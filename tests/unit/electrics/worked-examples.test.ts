/**
 * Printed answers of textbooks, manuals and advisory circulars, each with its source and the precision of its print.
 * Unless a title says "one conductor", resistance is that of the pair, half of it in either rail here.
 */
import { describe, expect, test } from 'vitest';
import { awgArea, conductorOhms } from '#server/electrics/conductor.ts';
import { across, circuitOf, constantAmps, ideal, resistive, solved } from '../../support/circuits.ts';

/** A two-wire line: joint j has its positive rail at node 2 j and its negative at 2 j + 1. */
function line(pairOhms: readonly number[]) {
  return pairOhms.flatMap((ohms, j) => [
    { a: 2 * j, b: 2 * j + 2, ohms: ohms / 2 },
    { a: 2 * j + 1, b: 2 * j + 3, ohms: ohms / 2 },
  ]);
}

function tap(joint: number, amps: number) {
  return { positive: 2 * joint, negative: 2 * joint + 1, model: constantAmps(amps), scale: 1 };
}

/** A stretch of the line as `count` equal small loads. */
function loaded(start: number, count: number, perConductorOhms: number, amps: number) {
  return {
    positiveStart: 2 * start,
    negativeStart: 2 * start + 1,
    positiveEnd: 2 * start + 2,
    negativeEnd: 2 * start + 3,
    count,
    positiveOhms: perConductorOhms / count,
    negativeOhms: perConductorOhms / count,
    model: constantAmps(amps / count),
    scale: 1,
  };
}

describe('V. K. Mehta & R. Mehta, Principles of Power System, chapter 13', () => {
  test('example 13.1: loads along a line fed at one end', () => {
    const solution = solved(
      circuitOf({
        nodeCount: 10,
        resistors: line([0.01, 0.01, 0.012, 0.008]),
        sources: [ideal(0, 1, 300)],
        loads: [tap(1, 100), tap(2, 150), tap(3, 200), tap(4, 50)],
      }),
    );
    const volts = [1, 2, 3, 4].map((j) => across(solution, 2 * j, 2 * j + 1));
    [295.0, 291.0, 288.0, 287.6].forEach((printed, i) => expect(volts[i]).toBeCloseTo(printed, 1));
  });

  test('example 13.11: fed at both ends at unequal volts', () => {
    // 0.3 ohm / km per conductor; A 230 V, loads at 50, 75, 100, 150 m, B 235 V at 200 m.
    const solution = solved(
      circuitOf({
        nodeCount: 12,
        resistors: line([0.03, 0.015, 0.015, 0.03, 0.03]),
        sources: [ideal(0, 1, 230), ideal(10, 11, 235)],
        loads: [tap(1, 25), tap(2, 50), tap(3, 30), tap(4, 40)],
      }),
    );
    expect(solution.sourceAmps[0]).toBeCloseTo(33.33, 2);
    expect(solution.sourceAmps[1]).toBeCloseTo(111.67, 2);
    expect(across(solution, 4, 5)).toBeCloseTo(228.875, 2);
  });

  test('example 13.7: uniform load, fed at one end', () => {
    // 250 m, 1.6 A / m, 0.0002 ohm / m per conductor; 20,000 small loads differ from the continuum by 1 in 20,000.
    const solution = solved(
      circuitOf({
        nodeCount: 6,
        sources: [ideal(0, 1, 270)],
        stretches: [loaded(0, 10_000, 0.025, 200), loaded(1, 10_000, 0.025, 200)],
      }),
    );
    expect(solution.sourceAmps[0]).toBeCloseTo(400, 2);
    expect(across(solution, 2, 3)).toBeCloseTo(270 - 15, 2);
    expect(across(solution, 4, 5)).toBeCloseTo(250, 2);
  });

  test('example 13.14: uniform load, fed at both ends', () => {
    const solution = solved(
      circuitOf({
        nodeCount: 4,
        sources: [ideal(0, 1, 220), ideal(2, 3, 220)],
        stretches: [loaded(0, 1000, 0.05, 500)],
      }),
    );
    const stretch = solution.stretches[0]!;
    expect(stretch.leastVolts).toBeCloseTo(213.75, 2);
    expect(Math.abs(stretch.leastPixel - 500)).toBeLessThanOrEqual(1);
    expect(stretch.amps).toBeCloseTo(500, 6);
  });

  test('example 13.19: concentrated and uniform loads together', () => {
    // 900 m, 400 V; 50 A at 200 m, 100 A at 500 m, 150 A at 800 m, 0.5 A / m throughout; pair 0.0001 ohm / m.
    const part = (start: number, metres: number) => loaded(start, metres * 20, 0.00005 * metres, 0.5 * metres);
    const solution = solved(
      circuitOf({
        nodeCount: 10,
        sources: [ideal(0, 1, 400)],
        stretches: [part(0, 200), part(1, 300), part(2, 300), part(3, 100)],
        loads: [tap(1, 50), tap(2, 100), tap(3, 150)],
      }),
    );
    expect(across(solution, 8, 9)).toBeCloseTo(361.75, 2);
    expect(across(solution, 4, 5)).toBeCloseTo(370.25, 2);
  });
});

describe('A. Chakrabarti et al., Power System Engineering, example 18.1: a star of five supplies', () => {
  const volts = [225, 210, 230, 230, 240];
  const ohms = [5, 1, 1, 2, 2];
  const resistors = ohms.map((value, i) => ({ a: 2 + i, b: 1, ohms: value }));
  const sources = volts.map((value, i) => ideal(2 + i, 0, value));

  test('as printed, where one supply takes current in', () => {
    // Ours never sink. A load of 100 A beside each supply keeps them all delivering and changes nothing else.
    const loads = volts.map((_, i) => ({ positive: 2 + i, negative: 0, model: constantAmps(100), scale: 1 }));
    const solution = solved(circuitOf({ nodeCount: 7, resistors, sources, loads }));
    expect(across(solution, 1, 0)).toBeCloseTo(225, 2);
    [0, -15, 5, 2.5, 7.5].forEach((amps, i) => {
      expect(solution.sourceAmps[i]! - 100).toBeCloseTo(amps, 2);
      expect(solution.resistorAmps[i]).toBeCloseTo(amps, 2);
    });
  });

  test('with supplies that never sink, the highest holds the star and nothing flows', () => {
    const solution = solved(circuitOf({ nodeCount: 7, resistors, sources }));
    expect(across(solution, 1, 0)).toBeCloseTo(240, 9);
    for (const amps of solution.sourceAmps) expect(Math.abs(amps)).toBeLessThan(1e-9);
  });
});

/** One conductor out, a perfect return (node 0): supply at node 1, then a node for each section. */
function singleConductor(supplyVolts: number, sections: readonly { ohms: number; amps: number }[]) {
  return circuitOf({
    nodeCount: sections.length + 2,
    sources: [ideal(1, 0, supplyVolts)],
    resistors: sections.map(({ ohms }, i) => ({ a: i + 1, b: i + 2, ohms })),
    loads: sections.map(({ amps }, i) => ({ positive: i + 2, negative: 0, model: constantAmps(amps), scale: 1 })),
  });
}

function dropOfLast(supplyVolts: number, sections: readonly { ohms: number; amps: number }[]): number {
  const solution = solved(singleConductor(supplyVolts, sections));
  return supplyVolts - across(solution, sections.length + 1, 0);
}

test('DeviceNet media guide DNET-UM072C p. 4-22: 24 V trunk, one conductor, 5 milliohm at each connector', () => {
  // The guide sums I (L 0.0045 + taps 0.005) over the devices: each device's current passes all the trunk before it.
  const devices = [
    { feet: 50, taps: 1, amps: 1 },
    { feet: 100, taps: 2, amps: 0.5 },
    { feet: 400, taps: 3, amps: 0.5 },
    { feet: 800, taps: 4, amps: 0.25 },
  ];
  const total = ({ feet, taps }: { feet: number; taps: number }) => feet * 0.0045 + taps * 0.005;
  const sections = devices.map((device, i) => {
    const before = devices[i - 1];
    return { ohms: total(device) - (before ? total(before) : 0), amps: device.amps };
  });
  expect(dropOfLast(24, sections)).toBeCloseTo(2.2725, 4);
});

describe('a fieldbus manual: 24 V trunk, one conductor, 0.015 ohm / m, 5 milliohm a tap', () => {
  const total = (metres: number, taps: number) => metres * 0.015 + taps * 0.005;
  test.each([
    [
      'group 1 at 10 m, group 2 at 20 m',
      [
        [10, 1, 1.1],
        [20, 2, 0.885],
      ],
      0.4449,
    ],
    [
      'other side',
      [
        [10, 1, 0.5],
        [30, 2, 0.85],
      ],
      0.4685,
    ],
    [
      'a second manual',
      [
        [1, 1, 0.195],
        [20, 2, 0.21],
      ],
      0.0039 + 0.0651,
    ],
  ] as const)('%s', (_, groups, printed) => {
    let before = 0;
    const sections = groups.map(([metres, taps, amps]) => {
      const ohms = total(metres, taps) - before;
      before = total(metres, taps);
      return { ohms, amps };
    });
    expect(Math.abs(dropOfLast(24, sections) - printed)).toBeLessThan(1e-4);
  });
});

describe('FAA AC 43.13-1B change 1, tables 11-7 and 11-8: ohm per foot, feet, A -> V', () => {
  test.each([
    [0.00044, 107, 20, 0.942],
    [0.00028, 90, 20, 0.504],
    [0.00202, 88, 20, 3.6],
    [0.00306, 100, 20, 6.12],
    [0.00126, 39, 20, 0.98],
    [0.00126, 156, 20, 3.93],
    [0.00126, 273, 20, 6.88],
  ])('%f x %f ft x %f A: %f V', (ohmsPerFoot, feet, amps, printed) => {
    expect(Math.abs(dropOfLast(28, [{ ohms: ohmsPerFoot * feet, amps }]) - printed)).toBeLessThan(0.05);
  });
});

test('an electrician training page: 16 AWG stranded (NEC table 8), 100 ft one way, 4 A at 24 V: 4.0 V, 16.6 to 16.7 %', () => {
  const solution = solved(
    circuitOf({
      nodeCount: 4,
      resistors: line([2 * 0.1 * 4.99]),
      sources: [ideal(0, 1, 24)],
      loads: [tap(1, 4)],
    }),
  );
  const drop = 24 - across(solution, 2, 3);
  expect(Math.abs(drop - 4)).toBeLessThan(0.02);
  expect(drop / 24).toBeCloseTo(0.1665, 3);
});

test('FAA AC 43.13-1B par. 11-66 d: 15.5 ft of 14 AWG at 20 degC are 9.5 ft at 181.6 degC, for the same drop', () => {
  // The temperature is that of 20 A of 26 A allowed, in air of 50 degC: 50 + (200 - 50) sqrt(20 / 26), from memory.
  const hot = 50 + 150 * Math.sqrt(20 / 26);
  const ohms = (metres: number, celsius: number) => conductorOhms({ area: awgArea(14), metres, celsius });
  const feet = (15.5 * ohms(1, 20)) / ohms(1, hot);
  // 254.5 * 15.5 / (234.5 + 181.6), with the 234.5 degC of hard-drawn to annealed copper.
  expect(Math.abs(feet - 9.48)).toBeLessThan(0.1);
});

// Left out: a physics text's 0.252 ohm for 21 m of 2.053 mm copper, which by its own numbers is 0.109 ohm; and a ladder
// whose pixels drop out along a straight line, which no load here does.
describe('strings of 18 AWG at 0.1 m pitch: values found with ngspice, 12 V unless noted', () => {
  const ohmsPerMetre = 0.020948;
  const leadPer14 = 0.008285;
  const string = (count: number, supply: number, lead: number, model = constantAmps(0.06)) => ({
    nodeCount: 6,
    sources: [ideal(0, 1, supply)],
    resistors: [
      { a: 0, b: 2, ohms: lead },
      { a: 1, b: 3, ohms: lead },
    ],
    stretches: [pixels(2, 3, 4, 5, count, model)],
  });
  const pixels = (
    positiveStart: number,
    negativeStart: number,
    positiveEnd: number,
    negativeEnd: number,
    count: number,
    model = constantAmps(0.06),
  ) => ({
    positiveStart,
    negativeStart,
    positiveEnd,
    negativeEnd,
    count,
    positiveOhms: ohmsPerMetre / 10,
    negativeOhms: ohmsPerMetre / 10,
    model,
    scale: 1,
  });

  test.each([
    ['50 pixels of 60 mA, 3 m lead', string(50, 12, 3 * ohmsPerMetre), 11.30244, 3.0],
    ['100 pixels of 60 mA, 3 m lead', string(100, 12, 3 * ohmsPerMetre), 9.97644, 6.0],
    ['100 pixels of 55 mA at 5 V, 1 m lead', string(100, 5, ohmsPerMetre, constantAmps(0.055)), 3.60593, 5.5],
    ['100 pixels of 200 ohm, 3 m lead', string(100, 12, 3 * ohmsPerMetre, resistive(200)), 10.23257, 5.297],
  ])('%s', (_, parts, endVolts, amps) => {
    const solution = solved(circuitOf(parts));
    expect(Math.abs(across(solution, 4, 5) - endVolts)).toBeLessThan(1e-4);
    expect(solution.stretches[0]!.leastVolts).toBeCloseTo(across(solution, 4, 5), 12);
    expect(solution.stretches[0]!.leastPixel).toBe(parts.stretches[0]!.count);
    expect(Math.abs(solution.sourceAmps[0]! - amps)).toBeLessThan(5e-4);
  });

  test('100 pixels, injection at the end through 15 m of 14 AWG', () => {
    const parts = string(100, 12, 3 * ohmsPerMetre);
    const feed = [
      { a: 0, b: 4, ohms: 15 * leadPer14 },
      { a: 1, b: 5, ohms: 15 * leadPer14 },
    ];
    const solution = solved(circuitOf({ ...parts, resistors: [...parts.resistors, ...feed] }));
    expect(Math.abs(across(solution, 4, 5) - 11.36589)).toBeLessThan(1e-4);
    expect(Math.abs(solution.stretches[0]!.leastVolts - 11.14398)).toBeLessThan(1e-4);
    expect(solution.stretches[0]!.leastPixel).toBe(58);
    expect(solution.sourceAmps[0]).toBeCloseTo(6, 6);
  });

  test('200 pixels of 30 mA, 5 m lead of 14 AWG, injection at 100 (15 m) and 200 (25 m)', () => {
    const model = constantAmps(0.03);
    const solution = solved(
      circuitOf({
        nodeCount: 8,
        sources: [ideal(0, 1, 12)],
        resistors: [5, 15, 25].flatMap((metres, i) => [
          { a: 0, b: 2 + 2 * i, ohms: metres * leadPer14 },
          { a: 1, b: 3 + 2 * i, ohms: metres * leadPer14 },
        ]),
        stretches: [pixels(2, 3, 4, 5, 100, model), pixels(4, 5, 6, 7, 100, model)],
      }),
    );
    expect(Math.abs(across(solution, 6, 7) - 11.40894)).toBeLessThan(1e-4);
    expect(Math.abs(solution.stretches[1]!.leastVolts - 11.26977)).toBeLessThan(1e-4);
    expect(solution.stretches[1]!.leastPixel).toBe(53);
    expect(solution.sourceAmps[0]).toBeCloseTo(6, 6);
  });
});
