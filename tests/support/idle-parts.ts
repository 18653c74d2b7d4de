/** A circuit with parts beside it that nothing comes of: unusable elements, and an island without a source. */
import type { Circuit } from '#server/electrics/circuit.ts';
import { constantAmps, resistive } from './circuits.ts';

/** How many elements of each kind stand before the circuit's own. */
export const ahead = { resistors: 3, sources: 1, loads: 2, stretches: 2 } as const;

/** The same with idle parts before and behind its elements; its nodes keep their numbers, six more follow. */
export function withIdleParts(circuit: Circuit): Circuit {
  const { nodeCount, resistors, sources, loads, stretches } = circuit;
  const dark = [0, 1, 2, 3, 4, 5].map((i) => nodeCount + i) as [number, number, number, number, number, number];
  const [p, q, r, s, t, u] = dark;
  const [first] = sources;
  const rails = { positive: first!.positive, negative: first!.negative };
  const stretch = {
    positiveStart: p,
    negativeStart: q,
    positiveEnd: r,
    negativeEnd: s,
    count: 7,
    positiveOhms: 0.01,
    negativeOhms: 0.02,
    model: resistive(100, 2),
    scale: 1,
  };
  const unusable = { ...stretch, positiveStart: rails.positive, negativeStart: rails.negative, count: 0 };
  const load = { positive: r, negative: s, model: constantAmps(0.1), scale: 1 };
  const odd = { ...rails, model: constantAmps(0.1), scale: -1 };
  const source = { ...rails, volts: 0, ohms: 0.01, maxAmps: 10 };
  const resistor = { a: rails.positive, b: rails.negative, ohms: 0 };
  const ring = [
    { a: r, b: t, ohms: 1 },
    { a: t, b: u, ohms: 1 },
    { a: u, b: r, ohms: 1 },
  ];
  return {
    nodeCount: nodeCount + dark.length,
    resistors: [resistor, { a: p, b: r, ohms: 1 }, ring[0]!, ...resistors, ring[1]!, ring[2]!, resistor],
    sources: [source, ...sources, source],
    loads: [load, odd, ...loads, odd, load],
    stretches: [stretch, unusable, ...stretches, unusable, stretch],
  };
}
