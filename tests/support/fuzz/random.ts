/**
 * Random numbers that can be had again: the same seed gives the same inputs on every machine. One run of the tests uses
 * a fixed seed and that of the day; both are printed with a failure.
 */
export class Random {
  private state: number;

  constructor(seed: number) {
    this.state = seed >>> 0;
  }

  /** Evenly spread, from 0 to below 1. Mulberry32: 32 bits of state, enough for choosing. */
  next(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(this.state ^ (this.state >>> 15), this.state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  }

  /** A whole number from 0 to below `count`. */
  below(count: number): number {
    return Math.floor(this.next() * count);
  }

  chance(share: number): boolean {
    return this.next() < share;
  }

  pick<T>(list: readonly T[]): T {
    const found = list[this.below(list.length)];
    if (found === undefined) throw new Error('nothing to pick from');
    return found;
  }

  /** Spread evenly over the orders of magnitude between two positive numbers. */
  magnitude(least: number, most: number): number {
    return least * (most / least) ** this.next();
  }
}

const FIXED_SEED = 20_261_125;

/** A new seed each day: what was found in the morning can be had again until it is mended. */
const SEED_OF_THE_DAY = Math.imul(Math.floor(Date.now() / 86_400_000), 0x9e3779b1) >>> 0;

/** The seeds of a run: FESTOON_SEED alone where it is set, else the fixed one and that of the day. */
export const SEEDS: readonly number[] =
  process.env['FESTOON_SEED'] === undefined ? [FIXED_SEED, SEED_OF_THE_DAY] : [Number(process.env['FESTOON_SEED'])];

/** How many cases a seed gets: its share of the usual number, or of FESTOON_FUZZ (inputs) where that is set. */
export function casesOf(usual: number): number {
  const asked = Number(process.env['FESTOON_FUZZ'] ?? 20_000);
  if (!(asked > 0)) throw new Error('FESTOON_FUZZ is the number of inputs, for example 1000000');
  return Math.ceil((usual * asked) / 20_000 / SEEDS.length);
}

/** Runs cases of a seed; a failure names the seed, the case and its input, so that it can be had again. */
export function forCases(
  seed: number,
  count: number,
  make: (random: Random, index: number) => string,
  check: (text: string, random: Random, index: number) => void,
): number {
  let executed = 0;
  for (let index = 0; index < count; index++) {
    const random = new Random(seed + index * 7919);
    const text = make(random, index);
    try {
      check(text, random, index);
    } catch (error) {
      const what = error instanceof Error ? error.message : String(error);
      throw new Error(`seed ${seed}, case ${index}: ${what}\n--- input ${JSON.stringify(text)}`, { cause: error });
    }
    executed++;
  }
  return executed;
}
