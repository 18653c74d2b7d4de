import { afterAll, describe, expect, it } from 'vitest';
import { BENCH, fixtureTexts, sampleTexts } from '../support/fuzz/corpus.ts';
import { generatePlan } from '../support/fuzz/generate.ts';
import { excerpt, mutate, NOISE } from '../support/fuzz/mutate.ts';
import { analyseCold, MAIN } from '../support/fuzz/plan-host.ts';
import { holdFindings, holdOutputs, holdPlace, holdViews } from '../support/fuzz/plan-invariants.ts';
import { casesOf, forCases, type Random, SEEDS } from '../support/fuzz/random.ts';
import { holdFormat, holdSpans, holdTiles } from '../support/fuzz/text-invariants.ts';

/**
 * Whatever stands in a file: it is read, checked, formatted and shown without a fault of ours. Inputs are plans made from
 * the vocabulary, samples and fixtures damaged at random, and noise. FESTOON_FUZZ=1000000 makes a long run,
 * FESTOON_SEED=… repeats one.
 */
const texts = [...fixtureTexts(), ...sampleTexts()];
const MOST_LINES = 30;
let executed = 0;

const noise = (random: Random) => Array.from({ length: 1 + random.below(40) }, () => random.pick(NOISE)).join('');

const KINDS: readonly (readonly [string, number, (random: Random) => string])[] = [
  ['plans made from the vocabulary', 4000, generatePlan],
  ['plans made from the vocabulary and damaged', 6000, (random) => mutate(random, generatePlan(random))],
  [
    'samples and fixtures, damaged',
    9000,
    (random) => mutate(random, excerpt(random, random.pick(texts).text, MOST_LINES)),
  ],
  ['noise', 1200, noise],
];

/** The cheap properties hold of every input, what is shown of a plan is looked at on every few. */
function hold(text: string, random: Random, index: number): void {
  holdTiles(text);
  holdSpans(text);
  const formatted = index % 2 === 0 ? text : holdFormat(text);
  const analysis = analyseCold(text);
  holdFindings(analysis, text + BENCH);
  if (index % 8 === 0) {
    holdViews(analysis, MAIN, text);
    for (let places = 0; places < 4; places++) holdPlace(analysis, MAIN, random.below(text.length + 1), text);
  }
  if (index % 24 === 0) holdOutputs(analysis, text);
  if (index % 8 === 1 && formatted !== text) holdSameMeaning(text, formatted);
}

/** A formatted plan says the same of the same things. */
function holdSameMeaning(text: string, formatted: string): void {
  const said = (source: string) =>
    analyseCold(source)

      .findings.map(({ code, message }) => `${code}: ${message.replace(/\s+|….*/gs, '')}`)
      .sort();
  expect(said(formatted)).toEqual(said(text));
}

describe.each(SEEDS)('seed %i', (seed) => {
  it.each(KINDS)('%s', { timeout: 36_000_000 }, (_, usual, make) => {
    const count = casesOf(usual);
    const done = forCases(seed, count, make, hold);
    expect(done).toBe(count);
    executed += done;
  });
});

afterAll(() => {
  console.log(`fuzzed ${executed} inputs, seeds ${SEEDS.join(' and ')}`);
  if (executed === 0) throw new Error('the fuzzer executed no input');
});
