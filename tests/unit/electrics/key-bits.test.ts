/**
 * The key of a circuit as a hash: each bit of what is said turns about half of the bits of each lane, no two lanes do the
 * same, and many circuits that differ by little have keys that are spread evenly.
 */
import { expect, test } from 'vitest';
import { circuitKey } from '#server/electrics/circuit-key.ts';
import { circuitOf } from '../../support/circuits.ts';

const bits = new DataView(new ArrayBuffer(8));

/** A number with these 64 bits, of those that are ordinary numbers. */
function number(high: number, low: number): number {
  bits.setUint32(0, high);
  bits.setUint32(4, low);
  return bits.getFloat64(0);
}

const keyOf = (ohms: number, others: readonly number[] = []) =>
  circuitKey(circuitOf({ nodeCount: 2, resistors: [ohms, ...others].map((each) => ({ a: 0, b: 1, ohms: each })) }));
const lanes = (key: string) => key.split(' ').map((lane) => Number.parseInt(lane, 36));
const count = (word: number) => {
  let ones = 0;
  for (let left = word >>> 0; left !== 0; left &= left - 1) ones++;
  return ones;
};

test('four lanes of 32 bits', () => {
  for (let i = 0; i < 50; i++) {
    const words = lanes(keyOf(i));
    expect(words).toHaveLength(4);
    for (const word of words) expect(word >= 0 && word < 2 ** 32 && Number.isInteger(word)).toBe(true);
  }
});

test('one bit more or less turns a good share of the bits of each lane, over many numbers', () => {
  const turned = [0, 0, 0, 0];
  const same = [0, 0, 0, 0, 0, 0];
  let tried = 0;
  for (let i = 1; i <= 24; i++) {
    const [high, low] = [0x3ff00000 + Math.imul(i, 0x1357), Math.imul(i, 0x9e3779b1) >>> 0];
    // Two words more are taken in behind it, as in any circuit.
    const before = lanes(keyOf(number(high, low), [1, 2]));
    for (let bit = 0; bit < 52; bit++) {
      const other = bit < 32 ? number(high, (low ^ (1 << bit)) >>> 0) : number((high ^ (1 << (bit - 32))) >>> 0, low);
      const after = lanes(keyOf(other, [1, 2]));
      const changes = after.map((lane, k) => (lane ^ before[k]!) >>> 0);
      changes.forEach((change, k) => {
        expect(change).not.toBe(0);
        turned[k]! += count(change);
      });
      let pair = 0;
      for (let a = 0; a < 4; a++) for (let b = a + 1; b < 4; b++) same[pair++]! += changes[a] === changes[b] ? 1 : 0;
      tried++;
    }
  }
  for (const sum of turned) {
    // A fair coin turns half of the bits; from 1,248 tries of 32 bits the mean is that to a hundredth.
    expect(sum / tried / 32).toBeGreaterThan(0.4);
    expect(sum / tried / 32).toBeLessThan(0.6);
  }
  for (const times of same) expect(times).toBe(0);
});

test('thousands of circuits that differ by little fall evenly into the halves of every bit of every lane', () => {
  const circuits = 3000;
  const ones = Array.from({ length: 4 }, () => new Array<number>(32).fill(0));
  const keys = new Set<string>();
  const words = [0, 1, 2, 3].map(() => new Set<number>());
  for (let i = 0; i < circuits; i++) {
    const key = keyOf(0.001 * (i % 60), [0.01 * Math.floor(i / 60)]);
    keys.add(key);
    lanes(key).forEach((word, lane) => {
      words[lane]!.add(word);
      for (let bit = 0; bit < 32; bit++) ones[lane]![bit]! += (word >>> bit) & 1;
    });
  }
  expect(keys.size).toBe(circuits);
  // Of 3,000 words of 32 bits about 3,000^2 / 2 / 2^32 = 0.001 pairs meet by chance: even a single lane tells them all.
  for (const lane of words) expect(lane.size).toBeGreaterThan(circuits - 3);
  // A fair bit is one in 1,500 of them, give or take 27; five times that is beyond chance.
  for (const lane of ones) for (const each of lane) expect(Math.abs(each - circuits / 2)).toBeLessThan(5 * 27.4);
});

test('texts, lengths and order count, and where a list ends', () => {
  const named = (...kinds: string[]) =>
    circuitKey(circuitOf({ nodeCount: 2, resistors: kinds.map((kind) => ({ kind })) as never }));
  const keys = [
    named('ab'),
    named('ba'),
    named('a', 'b'),
    named('b', 'a'),
    named('ab', ''),
    named('', 'ab'),
    named('abc'),
  ];
  expect(new Set(keys).size).toBe(keys.length);
  expect(keyOf(0)).not.toBe(keyOf(-0));
  expect(keyOf(1, [2, 3])).not.toBe(keyOf(1, [3, 2]));
});
