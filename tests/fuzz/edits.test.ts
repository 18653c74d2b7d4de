import { afterAll, describe, it } from 'vitest';
import { fixtureTexts, sampleTexts } from '../support/fuzz/corpus.ts';
import { casesOf, SEEDS } from '../support/fuzz/random.ts';
import { EDITS_EACH, forReplay, replayEdits } from '../support/fuzz/replay-edits.ts';

/** The shape is that of incremental parsers' own tests: edit, compare, undo, compare. */
const texts = forReplay([...fixtureTexts(), ...sampleTexts()]);
let compared = 0;

describe.each(SEEDS)('seed %i', (seed) => {
  it('an edited plan is known as if it were read anew', { timeout: 36_000_000 }, () => {
    const plans = Math.ceil(casesOf(5000) / EDITS_EACH);
    for (let index = 0; index < plans; index++) compared += replayEdits(seed, index, texts);
  });
});

afterAll(() => {
  console.log(`replayed ${compared} edits, seeds ${SEEDS.join(' and ')}`);
  if (compared === 0) throw new Error('no edit was replayed');
});
