import { afterAll, describe, it } from 'vitest';
import type { Analysis } from '#server/analysis/analysis.ts';
import { addressText } from '#server/model/address-text.ts';
import { addressesOf } from '#server/model/addresses.ts';
import { fixtureTexts, sampleTexts } from '../support/fuzz/corpus.ts';
import { generatePlan } from '../support/fuzz/generate.ts';
import { MOST, mutateOnce } from '../support/fuzz/mutate.ts';
import { analyseCold, hostOfText, MAIN } from '../support/fuzz/plan-host.ts';
import { viewsOf } from '../support/fuzz/plan-invariants.ts';
import { casesOf, Random, SEEDS } from '../support/fuzz/random.ts';
import { firstDifference } from '../support/fuzz/text-invariants.ts';

/**
 * Edits one after the other, and taken back again: after each the server must know what it would know had the text been
 * read for the first time. The shape is that of incremental parsers' own tests: edit, compare, undo, compare.
 */
const EDITS_EACH = 12;
const texts = [...fixtureTexts(), ...sampleTexts()].filter(({ text }) => text.length < MOST && !/\d{5} px/.test(text));
let compared = 0;

/** All that a person can see of a plan; of the account the figures themselves, not how they are written. */
function seen(analysis: Analysis): unknown {
  const { runs, feeds, supplies } = analysis.account;
  return {
    views: viewsOf(analysis, MAIN),
    runs: [...runs.values()].map(({ run, amps, least, portAmps }) => [run.name, amps, least, portAmps]).sort(byName),
    feeds: [...feeds.values()].map(({ feed, amps, drop }) => [feed.name, amps, drop]).sort(byName),
    supplies: [...supplies].map(([supply, { amps }]) => [supply.name, amps]).sort(byName),
    addresses: [...addressesOf(analysis.plan).values()].map((each) => [each.run.name, addressText(each)]),
    order: [...analysis.plan.runs.keys(), ...analysis.plan.feeds.keys(), ...analysis.plan.supplies.keys()],
  };
}

const byName = ([a]: readonly unknown[], [b]: readonly unknown[]) => (String(a) < String(b) ? -1 : 1);

function replay(seed: number, index: number): void {
  const random = new Random(seed + index * 6007);
  const start = random.chance(0.3) ? generatePlan(random) : random.pick(texts).text;
  const warm = hostOfText(start);
  warm.analyse(MAIN);
  let text = start;
  for (let edits = 0; edits < EDITS_EACH; edits++) {
    const edited = mutateOnce(random, text);
    for (const version of random.chance(0.3) ? [edited, text] : [edited]) {
      warm.setFile(MAIN, version);
      const [fresh, kept] = [analyseCold(version), warm.analyse(MAIN)].map((each) => JSON.stringify(seen(each)));
      if (fresh === undefined || fresh !== kept)
        throw new Error(
          `seed ${seed}, case ${index}: ${firstDifference(fresh ?? '', kept ?? '')}\n${JSON.stringify([text, version])}`,
        );
      compared++;
      text = version;
    }
  }
}

describe.each(SEEDS)('seed %i', (seed) => {
  it('an edited plan is known as if it were read anew', { timeout: 36_000_000 }, () => {
    const plans = Math.ceil(casesOf(5000) / EDITS_EACH);
    for (let index = 0; index < plans; index++) replay(seed, index);
  });
});

afterAll(() => {
  console.log(`replayed ${compared} edits, seeds ${SEEDS.join(' and ')}`);
  if (compared === 0) throw new Error('no edit was replayed');
});
