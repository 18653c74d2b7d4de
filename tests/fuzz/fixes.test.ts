import { afterAll, describe, expect, it } from 'vitest';
import { fixtureTexts } from '../support/fuzz/corpus.ts';
import { holdFixes } from '../support/fuzz/fix-invariants.ts';
import { hostOfText, MAIN } from '../support/fuzz/plan-host.ts';
import { casesOf, forCases, SEEDS } from '../support/fuzz/random.ts';
import { worsened } from '../support/fuzz/worsened.ts';
import { isHuge } from '../support/is-huge.ts';
import { hostOfDisplay, sampleDisplays } from '../support/samples.ts';

/** A fix does what it says: tried on every sample and fixture, and on plans that nobody has seen before. */
const fixtures = fixtureTexts().filter(({ text }) => !isHuge(text, 6));
let tried = 0;

describe('every fix that is offered', () => {
  it.each(fixtures)('in $name', ({ text }) => {
    tried += holdFixes(() => hostOfText(text), MAIN, MAIN);
  });

  it.each(sampleDisplays().filter(({ name }) => name.includes('/flawed/') || name.includes('injection')))(
    'in $name',
    (display) => {
      for (const uri of display.files.keys()) tried += holdFixes(() => hostOfDisplay(display), display.main, uri);
    },
  );
});

describe.each(SEEDS)('seed %i', (seed) => {
  it('every fix that is offered in plans gone wrong', { timeout: 36_000_000 }, () => {
    let found = 0;
    const plans = casesOf(600);
    const executed = forCases(
      seed,
      plans,
      (random) => worsened(random, fixtures),
      (text) => {
        found += holdFixes(() => hostOfText(text), MAIN, MAIN);
      },
    );
    expect(executed).toBe(plans);
    tried += found;
  });
});

afterAll(() => {
  console.log(`tried ${tried} fixes, seeds ${SEEDS.join(' and ')}`);
  if (tried === 0) throw new Error('no fix was tried');
});
