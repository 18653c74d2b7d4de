import type { Analysis } from '#server/analysis/analysis.ts';
import type { Host } from '#server/analysis/host.ts';
import { cardMarkdown } from '#server/ide/card.ts';
import { runCard } from '#server/ide/cards/run-card.ts';
import { addressText } from '#server/model/address-text.ts';
import { addressesOf } from '#server/model/addresses.ts';
import { isHuge } from '../is-huge.ts';
import type { Seedling } from './corpus.ts';
import { generatePlan } from './generate.ts';
import { MOST, mutateOnce } from './mutate.ts';
import { analyseCold, hostOfText, MAIN } from './plan-host.ts';
import { viewsOf } from './plan-invariants.ts';
import { Random } from './random.ts';
import { firstDifference } from './text-invariants.ts';

export const EDITS_EACH = 12;

/** Texts that are small enough to be read anew after each edit. */
export const forReplay = (texts: readonly Seedling[]): Seedling[] =>
  texts.filter(({ text }) => text.length < MOST && !isHuge(text, 5));

/**
 * Edits one after the other, some taken back again, some tried before: after each the server must know what it would know
 * had the text been read for the first time. Gives how many states were compared; throws the first difference.
 */
export function replayEdits(seed: number, index: number, texts: readonly Seedling[]): number {
  const random = new Random(seed + index * 6007);
  const start = random.chance(0.3) ? generatePlan(random) : random.pick(texts).text;
  const warm = hostOfText(start);
  warm.analyse(MAIN);
  let text = start;
  let compared = 0;
  for (let edits = 0; edits < EDITS_EACH; edits++) {
    const edited = mutateOnce(random, text);
    if (random.chance(0.3)) tryOut(random, warm);
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
  return compared;
}

/** Looks at the plan as it would be with another declaration, as a fix is tried. */
function tryOut(random: Random, warm: Host): void {
  const [file] = warm.analyse(MAIN).files;
  if (file === undefined) return;
  const declaration = random.pick(file.declarations);
  const { text } = declaration;
  const origin = { uri: MAIN, declaration, start: 0, end: text.length };
  seen(warm.preview(MAIN, [{ origin, text: mutateOnce(random, text) }]));
}

/** All that a person can see of a plan; of the account the figures themselves, not how they are written. */
function seen(analysis: Analysis): unknown {
  const { runs, feeds, supplies } = analysis.account;
  return {
    views: viewsOf(analysis, MAIN),
    runs: [...runs.values()].map(({ run, amps, least, portAmps }) => [run.name, amps, least, portAmps]).sort(byName),
    feeds: [...feeds.values()].map(({ feed, amps, drop }) => [feed.name, amps, drop]).sort(byName),
    supplies: [...supplies].map(([supply, { amps }]) => [supply.name, amps]).sort(byName),
    addresses: [...addressesOf(analysis.plan).values()].map((each) => [each.run.name, addressText(each)]),
    cards: [...analysis.plan.runs.values()].map((run) => cardMarkdown(runCard(analysis, run))),
    order: [...analysis.plan.runs.keys(), ...analysis.plan.feeds.keys(), ...analysis.plan.supplies.keys()],
  };
}

const byName = ([a]: readonly unknown[], [b]: readonly unknown[]) => (String(a) < String(b) ? -1 : 1);
