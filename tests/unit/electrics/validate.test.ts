import { describe, expect, test } from 'vitest';
import type { Circuit, Load, LoadChannel, Resistor, Source, Stretch } from '#server/electrics/circuit.ts';
import { solve } from '#server/electrics/solve.ts';
import { circuitLimits, validateCircuit } from '#server/electrics/validate.ts';
import { circuitOf, constantAmps, ideal, resistive } from '../../support/circuits.ts';

const stretch: Stretch = {
  positiveStart: 0,
  negativeStart: 1,
  positiveEnd: 2,
  negativeEnd: 3,
  count: 5,
  positiveOhms: 0.01,
  negativeOhms: 0.01,
  model: constantAmps(0.05),
  scale: 1,
};
const load: Load = { positive: 2, negative: 3, model: resistive(10), scale: 1 };
const good: Circuit = circuitOf({
  nodeCount: 4,
  resistors: [{ a: 0, b: 2, ohms: 1 }],
  sources: [ideal(0, 1, 12)],
  loads: [load],
  stretches: [stretch],
});

test('a good circuit has no problems', () => {
  expect(validateCircuit(good)).toEqual([]);
});

describe('each bad element is named once, with the number at fault', () => {
  const resistor = (change: Partial<Resistor>) => ({
    ...good,
    resistors: [
      { a: 0, b: 1, ohms: 1 },
      { a: 0, b: 2, ohms: 1, ...change },
    ],
  });
  const source = (change: Partial<Source>) => ({
    ...good,
    sources: [ideal(0, 1, 12), { ...ideal(2, 3, 12), ...change }],
  });
  const loaded = (change: Partial<Load>) => ({ ...good, loads: [load, { ...load, ...change }] });
  const stretched = (change: Partial<Stretch>) => ({ ...good, stretches: [stretch, { ...stretch, ...change }] });
  const channel = (change: LoadChannel) =>
    loaded({ model: { quiescentAmps: 0, quiescentVolts: 1, channels: [change] } });

  test.each<[string, Circuit, string, string, number]>([
    ['zero ohms', resistor({ ohms: 0 }), 'resistor', 'ohms-out-of-range', 0],
    ['negative ohms', resistor({ ohms: -1 }), 'resistor', 'ohms-out-of-range', -1],
    ['endless ohms', resistor({ ohms: Infinity }), 'resistor', 'ohms-out-of-range', Infinity],
    ['no number', resistor({ ohms: Number.NaN }), 'resistor', 'ohms-out-of-range', Number.NaN],
    ['a node too high', resistor({ b: 4 }), 'resistor', 'node-out-of-range', 4],
    ['a node below zero', resistor({ a: -1 }), 'resistor', 'node-out-of-range', -1],
    ['half a node', resistor({ a: 0.5 }), 'resistor', 'node-out-of-range', 0.5],
    ['no volts', source({ volts: 0 }), 'source', 'volts-out-of-range', 0],
    ['negative droop', source({ ohms: -0.1 }), 'source', 'ohms-out-of-range', -0.1],
    ['no current', source({ maxAmps: 0 }), 'source', 'amps-out-of-range', 0],
    ['shorted on itself', source({ negative: 2 }), 'source', 'both-ends-on-one-node', 2],
    ['negative scale', loaded({ scale: -1 }), 'load', 'scale-out-of-range', -1],
    ['no pixels', stretched({ count: 0 }), 'stretch', 'count-out-of-range', 0],
    ['half a pixel', stretched({ count: 1.5 }), 'stretch', 'count-out-of-range', 1.5],
    ['a billion pixels', stretched({ count: 1e9 }), 'stretch', 'count-out-of-range', 1e9],
    ['a rail of nothing', stretched({ negativeOhms: 0 }), 'stretch', 'ohms-out-of-range', 0],
    [
      'a knee upside down',
      channel({ kind: 'regulated', amps: 1, kneeVolts: 3, zeroVolts: 4 }),
      'load',
      'model-out-of-range',
      3,
    ],
    [
      'negative current',
      channel({ kind: 'regulated', amps: -1, kneeVolts: 3, zeroVolts: 2 }),
      'load',
      'model-out-of-range',
      -1,
    ],
    ['no lockout', channel({ kind: 'converter', watts: 1, lockoutVolts: 0 }), 'load', 'model-out-of-range', 0],
    [
      'a resistor of nothing',
      channel({ kind: 'resistive', ohms: 0, forwardVolts: 1 }),
      'load',
      'model-out-of-range',
      0,
    ],
  ])('%s', (_, circuit, element, what, value) => {
    const problems = validateCircuit(circuit).filter((problem) => problem.element !== 'circuit');
    expect(problems).toEqual([{ element, id: 1, what, value }]);
    expect(solve(circuit).status).toBe('solved');
  });
});

/** What is just within the bounds of what can be real is taken as it is. */
describe('an element at the edge is sound', () => {
  const edge = (change: Partial<Circuit>) => validateCircuit({ ...good, ...change });
  const { leastOhms, mostOhms, mostVolts } = circuitLimits;

  test.each([
    ['a source of half a volt', edge({ sources: [ideal(0, 1, 0.5)] })],
    ['the highest source', edge({ sources: [ideal(0, 1, mostVolts)] })],
    ['a source behind most ohms', edge({ sources: [{ ...ideal(0, 1, 12), ohms: mostOhms }] })],
    ['a source of a milliampere', edge({ sources: [{ ...ideal(0, 1, 12), maxAmps: 0.001 }] })],
    ['the least resistor', edge({ resistors: [{ a: 0, b: 3, ohms: leastOhms }] })],
    ['the greatest resistor', edge({ resistors: [{ a: 0, b: 3, ohms: mostOhms }] })],
    ['a load of nothing', edge({ loads: [{ ...load, scale: 0 }] })],
    ['one pixel', edge({ stretches: [{ ...stretch, count: 1 }] })],
    ['the last node', edge({ loads: [{ ...load, positive: 3, negative: 0 }] })],
    ['a resistor onto itself', edge({ resistors: [{ a: 1, b: 1, ohms: 1 }] })],
  ])('%s', (_, problems) => expect(problems).toEqual([]));

  test('just beyond it is not', () => {
    const volts = edge({ sources: [ideal(0, 1, mostVolts * 1.001)] });
    const ohms = edge({ resistors: [{ a: 0, b: 3, ohms: leastOhms / 1.001 }] });
    expect([...volts, ...ohms].map(({ what }) => what)).toEqual(['volts-out-of-range', 'ohms-out-of-range']);
  });
});

test('a circuit beyond reason is named as a whole and not attempted', () => {
  for (const nodeCount of [-1, 0.5, Number.NaN, 1e12]) {
    const circuit = circuitOf({ nodeCount });
    expect(validateCircuit(circuit)).toEqual([{ element: 'circuit', id: 0, what: 'too-many-nodes', value: nodeCount }]);
    expect(solve(circuit)).toMatchObject({ status: 'diverged', iterations: 0 });
  }
});
