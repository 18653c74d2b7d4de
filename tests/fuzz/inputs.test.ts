import { afterAll, describe, expect, it } from 'vitest';
import { fixtureTexts, sampleTexts } from '../support/fuzz/corpus.ts';
import { holdInput, inputKinds } from '../support/fuzz/hold-input.ts';
import { casesOf, forCases, SEEDS } from '../support/fuzz/random.ts';

/**
 * Whatever stands in a file: it is read, checked, formatted and shown without a fault of ours. FESTOON_FUZZ=1000000 makes
 * a long run, FESTOON_SEED=… repeats one; long.mjs beside this file goes on after a failure.
 */
const KINDS = inputKinds([...fixtureTexts(), ...sampleTexts()]);
let executed = 0;

describe.each(SEEDS)('seed %i', (seed) => {
  it.each(KINDS)('%s', { timeout: 36_000_000 }, (_, usual, make) => {
    const count = casesOf(usual);
    const done = forCases(seed, count, make, holdInput);
    expect(done).toBe(count);
    executed += done;
  });
});

afterAll(() => {
  console.log(`fuzzed ${executed} inputs, seeds ${SEEDS.join(' and ')}`);
  if (executed === 0) throw new Error('the fuzzer executed no input');
});
