/** The awkward networks: each must be solved, or say where it cannot be, and never spoil the rest. */
import { describe, expect, test } from 'vitest';
import type { Circuit, Stretch } from '#server/electrics/circuit.ts';
import { expandStretch, solve } from '#server/electrics/solve.ts';
import {
  across,
  circuitOf,
  constantAmps,
  converter,
  ideal,
  kneeAmps,
  noLoad,
  resistive,
  solved,
} from '../../support/circuits.ts';

function stretch(nodes: readonly [number, number, number, number], parts: Partial<Stretch> = {}): Stretch {
  const [positiveStart, negativeStart, positiveEnd, negativeEnd] = nodes;
  return {
    positiveStart,
    negativeStart,
    positiveEnd,
    negativeEnd,
    count: 50,
    positiveOhms: 0.005,
    negativeOhms: 0.005,
    model: kneeAmps(0.05, 9.6, 10.2),
    scale: 1,
    ...parts,
  };
}

describe('islands', () => {
  test('without a source: dead, dark, and the others are solved', () => {
    const solution = solved(
      circuitOf({
        nodeCount: 8,
        sources: [ideal(0, 1, 12)],
        stretches: [stretch([0, 1, 2, 3]), stretch([4, 5, 6, 7])],
      }),
    );
    expect([...solution.dead]).toEqual([0, 0, 0, 0, 1, 1, 1, 1]);
    expect([...solution.nodeVolts].map(Number.isNaN)).toEqual([false, false, false, false, true, true, true, true]);
    expect(solution.stretches[1]).toMatchObject({ leastVolts: 0, amps: 0, positiveStartAmps: 0 });
    expect(solution.stretches[0]!.amps).toBeGreaterThan(1);
  });

  test('a ground that reaches no source: the pixels see no voltage', () => {
    const circuit = circuitOf({
      nodeCount: 6,
      sources: [ideal(0, 1, 12)],
      resistors: [{ a: 0, b: 2, ohms: 0.1 }],
      stretches: [stretch([2, 3, 4, 5])],
    });
    const solution = solved(circuit);
    expect(solution.dead[3]).toBe(0);
    expect(Math.abs(solution.stretches[0]!.leastVolts)).toBeLessThan(1e-9);
    expect(Math.abs(solution.stretches[0]!.amps)).toBeLessThan(1e-9);
    expect(solution.nodeVolts[3]).toBeCloseTo(12, 9);
    expect(Math.max(...expandStretch(circuit, solution, 0).volts)).toBeLessThan(1e-9);
  });

  test('each fed island has its own reference', () => {
    const solution = solved(
      circuitOf({
        nodeCount: 4,
        sources: [ideal(0, 1, 12), ideal(2, 3, 5)],
        loads: [0, 2].map((positive) => ({ positive, negative: positive + 1, model: resistive(10), scale: 1 })),
      }),
    );
    expect([...solution.nodeVolts].map((volts) => Math.round(volts * 1e4) / 1e4)).toEqual([12, 0, 5, 0]);
  });

  test('two supplies with grounds bonded only through the strings carry the ground current there', () => {
    // Two identical halves joined by a ground conductor of a stretch: by symmetry nothing flows in the middle.
    const solution = solved(
      circuitOf({
        nodeCount: 6,
        sources: [ideal(0, 1, 12), ideal(4, 5, 12)],
        stretches: [stretch([0, 1, 2, 3], { model: constantAmps(0.05) }), stretch([2, 3, 4, 5], { model: noLoad })],
        loads: [],
      }),
    );
    const { nodeVolts } = solution;
    expect(nodeVolts[0]! - nodeVolts[1]!).toBeCloseTo(12, 4);
    expect(nodeVolts[4]! - nodeVolts[5]!).toBeCloseTo(12, 4);
    expect(solution.sourceAmps[0]! + solution.sourceAmps[1]!).toBeCloseTo(2.5, 6);
    // 50 loads of 50 mA at 0.01 ohm a pitch, the second feed 50 pitches further on: moments about it give its share.
    const share = (0.05 * 50 * 51) / 2 / 100;
    expect(solution.sourceAmps[1]).toBeCloseTo(share, 5);
  });
});

describe('supplies', () => {
  const load = (amps: number) => [{ positive: 0, negative: 1, model: kneeAmps(amps, 4, 6), scale: 1 }];

  test('a supply held at its limit folds back until the load takes no more', () => {
    const solution = solved(
      circuitOf({ nodeCount: 2, sources: [{ ...ideal(0, 1, 12), ohms: 0.01, maxAmps: 5 }], loads: load(8) }),
    );
    expect(solution.sourceLimited[0]).toBe(1);
    expect(solution.sourceAmps[0]).toBeCloseTo(5, 9);
    // 8 A * t^2 (3 - 2 t) = 5 A has its root at t = 0.584..., solved here by bisection.
    let low = 0;
    let high = 1;
    for (let i = 0; i < 60; i++) {
      const t = (low + high) / 2;
      if (8 * t * t * (3 - 2 * t) < 5) low = t;
      else high = t;
    }
    expect(across(solution, 0, 1)).toBeCloseTo(4 + 2 * low, 9);
  });

  test('two supplies share by their droop, and the weaker one stops before the stronger back-feeds it', () => {
    const pair = (volts: number) =>
      solved(
        circuitOf({
          nodeCount: 2,
          sources: [
            { ...ideal(0, 1, 12), ohms: 0.02 },
            { ...ideal(0, 1, volts), ohms: 0.02 },
          ],
          loads: load(3),
        }),
      );
    // Alone the first falls to 12 - 3 * 0.02 = 11.94 V.
    expect(pair(11.93).sourceAmps[1]).toBe(0);
    expect(pair(11.96).sourceAmps[1]).toBeCloseTo((3 - (12 - 11.96) / 0.02) / 2, 6);
    expect(pair(12).sourceAmps[1]).toBeCloseTo(1.5, 6);
  });

  test('no load at all: set voltage, no current', () => {
    const solution = solved(
      circuitOf({ nodeCount: 4, sources: [ideal(0, 1, 12)], stretches: [stretch([0, 1, 2, 3], { scale: 0 })] }),
    );
    expect(across(solution, 2, 3)).toBeCloseTo(12, 9);
    expect(solution.sourceAmps[0]).toBeCloseTo(0, 6);
  });
});

describe('converters', () => {
  const single = (watts: number) =>
    solve(
      circuitOf({
        nodeCount: 3,
        sources: [ideal(0, 1, 12)],
        resistors: [{ a: 0, b: 2, ohms: 2 }],
        loads: [{ positive: 2, negative: 1, model: converter(watts, 3), scale: 1 }],
      }),
    );

  test('the upper of the two states: u = (E + sqrt(E^2 - 4 R P)) / 2', () => {
    for (const watts of [1, 10, 17.9]) {
      const solution = single(watts);
      if (solution.status !== 'solved') throw new Error(solution.status);
      // 2 ohm and the micro-ohm that an ideal supply is taken to have.
      expect(across(solution, 2, 1)).toBeCloseTo((12 + Math.sqrt(144 - 4 * 2.000001 * watts)) / 2, 8);
    }
  });

  test('beyond E^2 / 4 R there is no such state: it hangs in its lockout and draws less than its power', () => {
    const solution = single(20);
    if (solution.status !== 'solved') throw new Error(solution.status);
    const volts = across(solution, 2, 1);
    expect(volts).toBeGreaterThan(2.7 - 1e-9);
    expect(volts).toBeLessThan(3);
    expect(volts * solution.loadAmps[0]!).toBeLessThan(20);
    expect(solution.currentResidual).toBeLessThan(1e-9);
  });

  test.each([0.5, 1, 1.5, 2, 3, 5, 8])('a long run of %f W pixels ends, whether it holds or collapses', (watts) => {
    const circuit = circuitOf({
      nodeCount: 4,
      sources: [ideal(0, 1, 12)],
      stretches: [stretch([0, 1, 2, 3], { count: 400, model: converter(watts, 6) })],
    });
    const solution = solve(circuit);
    if (solution.status !== 'solved') throw new Error(`${watts} W: ${JSON.stringify(solution)}`);
    expect(solution.currentResidual).toBeLessThan(1e-7);
    expect(solution.powerResidual).toBeLessThan(1e-6);
    const pixels = expandStretch(circuit, solution, 0);
    expect(Math.min(...pixels.volts)).toBeCloseTo(solution.stretches[0]!.leastVolts, 6);
  });
});

describe('shapes', () => {
  test('a ring on one joint: each half is a string of half the pixels, fed at one end', () => {
    const model = constantAmps(0.02);
    const solution = solved(
      circuitOf({
        nodeCount: 2,
        sources: [ideal(0, 1, 12)],
        stretches: [stretch([0, 1, 0, 1], { count: 101, model })],
      }),
    );
    // 101 pitches, 100 pixels inside, symmetric: least at the two middle pixels, 50 pitches from the joint.
    const drop = 0.01 * 0.02 * ((50 * 51) / 2);
    expect(solution.stretches[0]!.leastVolts).toBeCloseTo(12 - drop, 5);
    expect([50, 51]).toContain(solution.stretches[0]!.leastPixel);
    expect(solution.sourceAmps[0]).toBeCloseTo(101 * 0.02, 5);
  });

  test('one pixel', () => {
    const solution = solved(
      circuitOf({
        nodeCount: 4,
        sources: [ideal(0, 1, 12)],
        stretches: [stretch([0, 1, 2, 3], { count: 1, model: constantAmps(0.06) })],
      }),
    );
    expect(across(solution, 2, 3)).toBeCloseTo(12 - 0.06 * 0.01, 6);
  });

  test('a resistor with both ends on one node carries nothing', () => {
    const solution = solved(
      circuitOf({
        nodeCount: 2,
        sources: [ideal(0, 1, 12)],
        resistors: [
          { a: 0, b: 0, ohms: 1 },
          { a: 0, b: 1, ohms: 6 },
        ],
      }),
    );
    expect([...solution.resistorAmps].map((amps) => Math.round(amps * 1e4) / 1e4)).toEqual([0, 2]);
  });

  test('an empty circuit', () => {
    expect(solved(circuitOf({ nodeCount: 0 }))).toMatchObject({ status: 'solved', stretches: [] });
    expect([...solved(circuitOf({ nodeCount: 2 })).dead]).toEqual([1, 1]);
  });

  test('twenty thousand pixels fed from one end: dark but for the first hundreds, and solved', () => {
    const circuit = circuitOf({
      nodeCount: 4,
      sources: [ideal(0, 1, 12)],
      stretches: [stretch([0, 1, 2, 3], { count: 20_000 })],
    });
    const solution = solved(circuit);
    expect(solution.currentResidual).toBeLessThan(1e-9);
    expect(solution.stretches[0]!.leastVolts).toBeLessThan(9.7);
    expect(solution.stretches[0]!.amps).toBeLessThan(50);
  });

  test('what validation names is left out, and nothing else is touched', () => {
    const good: Circuit = circuitOf({ nodeCount: 4, sources: [ideal(0, 1, 12)], stretches: [stretch([0, 1, 2, 3])] });
    const bad: Circuit = {
      ...good,
      resistors: [
        { a: 0, b: 1, ohms: 0 },
        { a: 0, b: 99, ohms: 1 },
      ],
      loads: [{ positive: 0, negative: 1, model: resistive(Number.NaN), scale: 1 }],
      stretches: [...good.stretches, stretch([0, 1, 2, 3], { count: 1e9 })],
    };
    expect([...solved(bad).nodeVolts]).toEqual([...solved(good).nodeVolts]);
  });
});

describe('closed forms', () => {
  test('a ladder of resistors: V[N] = V[0] cosh(t / 2) / cosh((N + 1/2) t), cosh t = 1 + r g / 2', () => {
    const circuit = circuitOf({
      nodeCount: 4,
      sources: [ideal(0, 1, 12)],
      stretches: [
        stretch([0, 1, 2, 3], { count: 50, positiveOhms: 0.00525, negativeOhms: 0.00525, model: resistive(200) }),
      ],
    });
    const t = Math.acosh(1 + 0.0105 / 200 / 2);
    const solution = solved(circuit);
    const start = across(solution, 0, 1);
    expect(across(solution, 2, 3)).toBeCloseTo((start * Math.cosh(t / 2)) / Math.cosh(50.5 * t), 9);
    // 11.239248790 V with an ideal supply (ngspice); ours has a micro-ohm, 3 A.
    expect(across(solution, 2, 3)).toBeCloseTo(11.23924879, 5);
  });

  test('the rails share a common current by their conductance', () => {
    // No loads: 1 A is pushed through both rails of a stretch from end to end by a source across it.
    const circuit = circuitOf({
      nodeCount: 4,
      sources: [{ ...ideal(0, 2, 10), ohms: 0.001 }],
      resistors: [
        { a: 0, b: 1, ohms: 0.001 },
        { a: 2, b: 3, ohms: 0.001 },
      ],
      stretches: [stretch([0, 1, 2, 3], { count: 10, positiveOhms: 0.1, negativeOhms: 0.3, model: noLoad })],
    });
    const solution = solved(circuit);
    const { positiveStartAmps, negativeStartAmps } = solution.stretches[0]!;
    // 1 ohm against 3 ohm and two contacts of a milliohm.
    expect(positiveStartAmps / negativeStartAmps).toBeCloseTo(3.002, 9);
  });

  test('unequal rails: the ground shift at the far end is the ground conductor times the moments of the loads', () => {
    const circuit = circuitOf({
      nodeCount: 4,
      sources: [ideal(0, 1, 12)],
      stretches: [
        stretch([0, 1, 2, 3], { count: 20, positiveOhms: 0.002, negativeOhms: 0.007, model: constantAmps(0.06) }),
      ],
    });
    const solution = solved(circuit);
    const pixels = expandStretch(circuit, solution, 0);
    for (const k of [1, 7, 20]) {
      // Pitch j carries the pixels j .. 20.
      let moment = 0;
      for (let j = 1; j <= k; j++) moment += 20 - j + 1;
      expect(pixels.negativeVolts[k - 1]).toBeCloseTo(0.007 * 0.06 * moment, 9);
    }
    expect(pixels.amps.reduce((a, b) => a + b, 0)).toBeCloseTo(1.2, 9);
  });
});
