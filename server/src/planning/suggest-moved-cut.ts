import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import type { Finding, Fix } from '../model/finding.ts';
import type { CutPiece, Run } from '../model/plan.ts';
import type { Steps } from '../model/steps.ts';
import { volts } from '../model/texts.ts';
import { type CutJoint, cutAbove, cutJoints, withoutCut } from './cut-joints.ts';
import { closes } from './holds.ts';
import { taps } from './reach.ts';

/** At most so many joints are tried for all cuts together: each means the plan as a whole. */
const MOST_TRIES = 24;

/**
 * Suggests to move a cut of V+ that stands in a run already, so that the supplies on both sides share its pixels better:
 * each cut is tried at each other joint, and the one is offered that closes the finding and leaves the highest least
 * voltage. It takes no cable, so it comes before what does.
 */
export function* suggestMovedCut(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  let tries = MOST_TRIES;
  let best: { readonly least: number; readonly fix: Fix } | undefined;
  for (const run of runsOf(ctx, finding)) {
    const joints = cutJoints(run);
    for (const cut of run.pieces.filter((piece) => piece.kind === 'cut')) {
      const out = withoutCut(cut);
      const from = jointBehind(run, cut, joints);
      if (out === undefined || from === undefined) continue;
      for (const joint of joints) {
        if (joint === from || --tries < 0) continue;
        yield;
        const edits = [out.edit, cutAbove(joint, out.behind)];
        const after = closes(ctx, finding, edits);
        if (after === undefined) continue;
        const changed = [...after.account.runs.values()].find((other) => other.run.name === run.name);
        const least = sure(changed?.least).volts;
        if (best !== undefined && least <= best.least + 1e-9) continue;
        const title = `Move the V+ cut of ${run.name} from before ${from.text} to before ${joint.text}: least ${volts(least)}`;
        best = { least, fix: { title, edits, preferred: true } };
      }
    }
  }
  return best === undefined ? [] : [best.fix];
}

/** The run that a finding is about, or the runs that the supply of a finding comes into. */
function runsOf({ plan }: SuggestContext, { subject = '' }: Finding): Run[] {
  const run = plan.runs.get(subject);
  if (run !== undefined) return [run];
  const supply = plan.supplies.get(subject);
  if (supply === undefined) return [];
  return [...plan.runs.values()].filter(
    (other) =>
      other.controller?.from?.supply === supply ||
      [...plan.feeds.values()].some((feed) => feed.from?.supply === supply && taps(feed, other)),
  );
}

/** The joint that a cut stands at: the first line of pixels behind it. */
function jointBehind(run: Run, cut: CutPiece, joints: readonly CutJoint[]): CutJoint | undefined {
  const next = run.pieces.slice(run.pieces.indexOf(cut)).find((piece) => piece.kind === 'string');
  return joints.findLast(({ origin }) => next !== undefined && origin.start <= next.origin.start);
}
