import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import type { Edit, Finding, Fix } from '../model/finding.ts';
import type { Feed, FeedPiece } from '../model/plan.ts';
import type { Steps } from '../model/steps.ts';
import { volts } from '../model/texts.ts';
import { closes } from './holds.ts';
import { cablesFor, taps } from './reach.ts';
import { endOf } from './write-outputs.ts';

type CablePiece = FeedPiece & { readonly kind: 'cable' };

/** At most so many edits are tried: each means the plan as a whole. */
const MOST_TRIES = 24;

/**
 * Suggests the next size of cable for one feed of a run, or for the feed that a finding is about: the thinnest at hand
 * that closes the finding, or the same cable doubled, whichever has less copper.
 */
export function* suggestCable(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const { plan } = ctx;
  const subject = sure(finding.subject);
  const run = plan.runs.get(subject);
  const own = plan.feeds.get(subject);
  const feeds =
    run === undefined ? (own === undefined ? [] : [own]) : [...plan.feeds.values()].filter((feed) => taps(feed, run));
  let tries = MOST_TRIES;
  for (const feed of feeds) {
    for (const { edits, text } of exchanges(ctx, feed)) {
      if (--tries < 0) return [];
      yield;
      const after = closes(ctx, finding, edits);
      if (after === undefined) continue;
      const least = [...after.account.runs.values()].find((other) => other.run.name === run?.name)?.least?.volts;
      return [
        {
          title: `Use ${text} for ${feed.name}${least === undefined ? '' : `: least ${volts(least)}`}`,
          edits,
          preferred: run === undefined,
        },
      ];
    }
  }
  return [];
}

/** Larger cables for all pieces of a feed, and each piece doubled, by their copper. */
function exchanges({ plan }: SuggestContext, feed: Feed): { edits: Edit[]; text: string; area: number }[] {
  const pieces = feed.pieces.filter((piece): piece is CablePiece => piece.kind === 'cable');
  const [first] = pieces;
  if (first === undefined || pieces.some(({ cable }) => cable !== first.cable)) return [];
  const larger = cablesFor(plan)
    .filter(({ conductor }) => conductor.area > first.cable.conductor.area * 1.001)
    .map((cable) => ({
      text: cable.name,
      area: cable.conductor.area * first.parallel,
      edits: pieces.map(({ cableOrigin }) => ({ origin: cableOrigin, text: cable.name })),
    }));
  const doubled =
    first.parallel > 1
      ? []
      : [
          {
            text: `${first.cable.name} x 2`,
            area: first.cable.conductor.area * 2,
            edits: pieces.map(({ cableOrigin }) => ({
              origin: endOf(cableOrigin),
              text: ' x 2',
            })),
          },
        ];
  return [...larger, ...doubled].sort((a, b) => a.area - b.area);
}
