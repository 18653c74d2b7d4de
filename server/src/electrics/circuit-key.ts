import type { Circuit } from './circuit.ts';

/**
 * A short text that stands for all that a circuit says: four lanes of 32 bits, each of which takes in every word of it
 * with factors of its own. Circuits that say the same, made in the same order, have the same key. Two that differ in one
 * word never have; that two others meet in all four lanes is less likely than a fault of the machine.
 *
 * @throws {TypeError} on a field that is none of number, text, list and record: a circuit has no such.
 */
export function circuitKey(circuit: Circuit): string {
  const lanes = [0x9e3779b9, 0x243f6a88, 0xb7e15162, 0x71374491];
  visit(circuit, lanes);
  return lanes.map((lane) => (lane >>> 0).toString(36)).join(' ');
}

/** Odd numbers without a pattern, two for each lane. */
const FACTORS = [
  0xcc9e2d51, 0x1b873593, 0x85ebca6b, 0xc2b2ae35, 0x27d4eb2f, 0x165667b1, 0x9e3779b1, 0x2545f491,
] as const;

const NUMBER = new Float64Array(1);
const WORDS = new Uint32Array(NUMBER.buffer);

/**
 * Takes numbers, texts, lists and records in order. Texts and lists come with their length, so that none runs into the
 * next; a record needs none, since its kind says which fields it has.
 */
function visit(value: unknown, lanes: number[]): void {
  if (typeof value === 'number') {
    NUMBER[0] = value;
    mix(WORDS[0], lanes);
    mix(WORDS[1], lanes);
  } else if (typeof value === 'string') {
    mix(value.length, lanes);
    for (let at = 0; at < value.length; at++) mix(value.charCodeAt(at), lanes);
  } else if (Array.isArray(value)) {
    mix(value.length, lanes);
    for (const each of value) visit(each, lanes);
  } else if (typeof value === 'object' && value !== null) {
    for (const key in value) visit((value as Record<string, unknown>)[key], lanes);
  } else {
    throw new TypeError(`a circuit has no field like ${value}`);
  }
}

/** Multiply, turn, multiply, and take in: what the common hashes for tables do with 32 bits. */
function mix(word: number, lanes: number[]): void {
  for (let lane = 0; lane < 4; lane++) {
    let part = Math.imul(word, FACTORS[2 * lane]);
    part = Math.imul((part << 15) | (part >>> 17), FACTORS[2 * lane + 1]);
    const taken = lanes[lane] ^ part;
    lanes[lane] = (Math.imul((taken << 13) | (taken >>> 19), 5) + 0xe6546b64) | 0;
  }
}
