import type { Seedling } from './corpus.ts';
import { BENCH } from './corpus.ts';
import { generatePlan } from './generate.ts';
import { excerpt, mutate, NOISE } from './mutate.ts';
import { analyseCold, MAIN } from './plan-host.ts';
import { holdFindings, holdOutputs, holdPlace, holdViews } from './plan-invariants.ts';
import type { Random } from './random.ts';
import { firstDifference, holdFormat, holdSpans, holdTiles } from './text-invariants.ts';

/** A kind of input: what it is called, its share of 20,000, and how one is made. */
type Kind = readonly [name: string, usual: number, make: (random: Random) => string];

/** Inputs are plans made from the vocabulary, samples and fixtures damaged at random, and noise. */
export function inputKinds(texts: readonly Seedling[]): readonly Kind[] {
  return [
    ['plans made from the vocabulary', 4000, generatePlan],
    ['plans made from the vocabulary and damaged', 6000, (random) => mutate(random, generatePlan(random))],
    [
      'samples and fixtures, damaged',
      9000,
      (random) => mutate(random, excerpt(random, random.pick(texts).text, MOST_LINES)),
    ],
    ['noise', 1200, noise],
  ];
}

const MOST_LINES = 30;
const noise = (random: Random) => Array.from({ length: 1 + random.below(40) }, () => random.pick(NOISE)).join('');

/** The cheap properties hold of every input, what is shown of a plan is looked at on every few. Throws what is amiss. */
export function holdInput(text: string, random: Random, index: number): void {
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
      .sort()
      .join('\n');
  const [before, after] = [said(text), said(formatted)];
  if (before !== after) throw new Error(`formatted it says something else: ${firstDifference(before, after)}`);
}
