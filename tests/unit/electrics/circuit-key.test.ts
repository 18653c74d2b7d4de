import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { circuitKey } from '#server/electrics/circuit-key.ts';

/** A circuit whose every number is one of a list of seven. */
function circuit([a, b, ohms, volts, inner, most, amps]: readonly number[]): Circuit {
  const model = {
    quiescentAmps: 0.001,
    quiescentVolts: 5,
    channels: [{ kind: 'regulated', amps: amps ?? 0, kneeVolts: 7, zeroVolts: 6 } as const],
  };
  return {
    nodeCount: 4,
    resistors: [{ a: a ?? 0, b: b ?? 0, ohms: ohms ?? 0 }],
    sources: [{ positive: 0, negative: 1, volts: volts ?? 0, ohms: inner ?? 0, maxAmps: most ?? 0 }],
    loads: [{ positive: 2, negative: 3, model, scale: 1 }],
    stretches: [],
  };
}

const number = fc.oneof(fc.integer({ min: -8, max: 8 }), fc.double({ noNaN: true }));
const numbers = fc.array(number, { minLength: 7, maxLength: 7 });

test('circuits have the same key when they say the same, and only then', () => {
  fc.assert(
    fc.property(numbers, numbers, (one, other) => {
      const same = one.every((value, index) => Object.is(value, other[index]));
      expect(circuitKey(circuit([...one]))).toBe(circuitKey(circuit(one)));
      expect(circuitKey(circuit(one)) === circuitKey(circuit(other))).toBe(same);
    }),
  );
});

test('numbers that change places or signs together make another key', () => {
  fc.assert(
    fc.property(numbers, fc.nat(5), (list, at) => {
      const [one, other] = [list[at] ?? 0, list[at + 1] ?? 0];
      fc.pre(one !== other && one !== 0 && other !== 0);
      const changed = (first: number, second: number) =>
        circuit([...list.slice(0, at), first, second, ...list.slice(at + 2)]);
      expect(circuitKey(changed(other, one))).not.toBe(circuitKey(circuit(list)));
      expect(circuitKey(changed(-one, -other))).not.toBe(circuitKey(circuit(list)));
    }),
  );
});

test('a field that no circuit has is refused', () => {
  for (const ohms of [undefined, null, true]) {
    const odd = { ...circuit([0, 1, 2, 3, 4, 5, 6]), resistors: [{ a: 0, b: 1, ohms }] };
    expect(() => circuitKey(odd as unknown as Circuit)).toThrow(TypeError);
  }
});

test('an element more or less makes another key', () => {
  const one = circuit([0, 1, 2, 3, 4, 5, 6]);
  const more: Circuit = { ...one, resistors: [...one.resistors, ...one.resistors] };
  const other: Circuit = { ...one, loads: [] };
  expect(new Set([one, more, other].map(circuitKey)).size).toBe(3);
});
