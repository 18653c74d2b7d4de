/** What one solution leaves for the next: structure where elements and nodes are the same, volts to start from, no trace of a cut. */
import { describe, expect, test } from 'vitest';
import type { Circuit, Stretch } from '#server/electrics/circuit.ts';
import { prepare } from '#server/electrics/prepare.ts';
import { isSameShape, usableElements } from '#server/electrics/solve/usable.ts';
import { circuitOf, constantAmps, ideal, kneeAmps, noLoad } from '../../support/circuits.ts';
import { randomCircuit } from '../../support/random-circuit.ts';

const stretch: Stretch = {
  positiveStart: 2,
  negativeStart: 3,
  positiveEnd: 4,
  negativeEnd: 5,
  count: 50,
  positiveOhms: 0.005,
  negativeOhms: 0.005,
  model: kneeAmps(0.05, 9.6, 11.5),
  scale: 1,
};
const circuit: Circuit = circuitOf({
  nodeCount: 8,
  resistors: [
    { a: 0, b: 2, ohms: 0.02 },
    { a: 1, b: 3, ohms: 0.02 },
    { a: 6, b: 7, ohms: 0.02 },
  ],
  sources: [ideal(0, 1, 12)],
  loads: [{ positive: 4, negative: 5, model: constantAmps(0.2), scale: 1 }],
  stretches: [stretch],
});

test('of two alike either may be the one that differs', () => {
  const twice = circuitOf({
    nodeCount: 12,
    resistors: [circuit.resistors[0]!, circuit.resistors[1]!],
    sources: [ideal(0, 1, 12), ideal(8, 9, 12)],
    loads: [circuit.loads[0]!, { ...circuit.loads[0]!, positive: 2, negative: 3 }],
    stretches: [stretch, { ...stretch, positiveStart: 8, negativeStart: 9, positiveEnd: 10, negativeEnd: 11 }],
  });
  const isSame = (other: Circuit) => isSameShape(twice, usableElements(twice)!, other, usableElements(other)!);
  expect(isSame(structuredClone(twice))).toBe(true);
  const places = { resistors: ['a', 'b'], sources: ['positive', 'negative'], loads: ['positive', 'negative'] };
  const ends = ['positiveStart', 'negativeStart', 'positiveEnd', 'negativeEnd'];
  for (const [kind, fields] of Object.entries({ ...places, stretches: ends })) {
    for (const id of [0, 1]) {
      for (const field of fields) {
        const other = structuredClone(twice) as unknown as Record<string, Record<string, number>[]>;
        other[kind]![id]![field] = 7;
        expect(isSame(other as unknown as Circuit), `${kind} ${id} ${field}`).toBe(false);
      }
      const unusable = structuredClone(twice) as unknown as Record<string, Record<string, number>[]>;
      for (const field of ['ohms', 'volts', 'scale', 'count']) {
        if (field in unusable[kind]![id]!) unusable[kind]![id]![field] = -1;
      }
      expect(isSame(unusable as unknown as Circuit), `${kind} ${id} cannot be`).toBe(false);
    }
  }
});

describe('the same shape', () => {
  const isSame = (other: Circuit) => isSameShape(circuit, usableElements(circuit)!, other, usableElements(other)!);
  const [first, ...rest] = circuit.resistors;

  test('with any other numbers', () => {
    expect(isSame(circuit)).toBe(true);
    expect(
      isSame({
        ...circuit,
        resistors: circuit.resistors.map((r) => ({ ...r, ohms: 2 * r.ohms })),
        sources: [{ ...ideal(0, 1, 5), ohms: 1, maxAmps: 1 }],
        loads: circuit.loads.map((load) => ({ ...load, model: noLoad, scale: 0.5 })),
        stretches: [{ ...stretch, count: 7, positiveOhms: 1, negativeOhms: 2, model: noLoad, scale: 0 }],
      }),
    ).toBe(true);
  });

  test.each<[string, Partial<Circuit>]>([
    ['a node more', { nodeCount: 9 }],
    ['a resistor from elsewhere', { resistors: [{ ...first!, a: 7 }, ...rest] }],
    ['a resistor to elsewhere', { resistors: [{ ...first!, b: 7 }, ...rest] }],
    ['a resistor that cannot be', { resistors: [{ ...first!, ohms: 0 }, ...rest] }],
    ['a resistor less', { resistors: rest }],
    ['a source elsewhere', { sources: [ideal(7, 1, 12)] }],
    ['a source to another ground', { sources: [ideal(0, 7, 12)] }],
    ['a source that cannot be', { sources: [ideal(0, 1, 0)] }],
    ['a source more', { sources: [ideal(0, 1, 12), ideal(0, 1, 12)] }],
    ['a load elsewhere', { loads: [{ ...circuit.loads[0]!, positive: 2 }] }],
    ['a load to another ground', { loads: [{ ...circuit.loads[0]!, negative: 3 }] }],
    ['a load that cannot be', { loads: [{ ...circuit.loads[0]!, scale: -1 }] }],
    ['a string from elsewhere', { stretches: [{ ...stretch, positiveStart: 6 }] }],
    ['a string from another ground', { stretches: [{ ...stretch, negativeStart: 7 }] }],
    ['a string to elsewhere', { stretches: [{ ...stretch, positiveEnd: 6 }] }],
    ['a string to another ground', { stretches: [{ ...stretch, negativeEnd: 7 }] }],
    ['a string that cannot be', { stretches: [{ ...stretch, count: 0 }] }],
  ])('is not that with %s', (_, change) => {
    expect(isSame({ ...circuit, ...change })).toBe(false);
  });
});

test('the same again, or nearly, starts from the solution: a round or two', () => {
  for (let seed = 1; seed <= 20; seed++) {
    const given = randomCircuit(seed, { kinds: ['regulated', 'knees', 'resistive'] }).circuit;
    const prepared = prepare(given);
    const before = prepared.solve();
    const again = prepared.solveWith(given);
    expect(again.iterations, `seed ${seed}`).toBe(1);
    if (before.status !== 'solved' || again.status !== 'solved') throw new Error('unsolved');
    again.nodeVolts.forEach((volts, node) => expect(volts).toBeCloseTo(before.nodeVolts[node]!, 9));
    const nearly = { ...given, sources: given.sources.map((s) => ({ ...s, volts: s.volts * (1 + 1e-6) })) };
    expect(prepared.solveWith(nearly).iterations, `seed ${seed}`).toBeLessThanOrEqual(2);
  }
});

test('a cut that is only felt near by costs a few rounds, and leaves no trace', () => {
  const prepared = prepare(circuit);
  const before = prepared.solve();
  for (let i = 0; i < 3; i++) {
    expect(prepared.solveWithout({ resistors: [2] }).iterations).toBe(1);
    expect(prepared.solveWithout({ resistors: [0] }).status).toBe('solved');
    expect(prepared.solveWithout({ sources: [0] }).status).toBe('solved');
    expect(prepared.solveWithout({ resistors: [0, 1], sources: [0] }).status).toBe('solved');
    expect(prepared.solve()).toEqual(before);
  }
  // From where it was solved: nothing is left to do.
  expect(prepared.solveWith(circuit).iterations).toBe(1);
});

test('a circuit beyond reason after a sound one, and a sound one after that', () => {
  const prepared = prepare(circuit);
  const before = prepared.solve();
  expect(prepared.solveWith(circuitOf({ nodeCount: -1 }))).toMatchObject({ status: 'diverged', iterations: 0 });
  expect(prepared.solveWithout({ resistors: [0] })).toMatchObject({ status: 'diverged' });
  expect(prepared.solveWith(circuit)).toEqual(before);
});
