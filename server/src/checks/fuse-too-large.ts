import type { Account } from '../model/account.ts';
import type { Fix, Origin, Report } from '../model/finding.ts';
import { ratedFuse } from '../model/fuses.ts';
import { outputText, ownerOf, protectedBy } from '../model/outputs.ts';
import type { Board, Output, Plan } from '../model/plan.ts';
import { portName } from '../model/port-of.ts';
import { doubledText, rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const fuseTooLarge: Check = {
  code: 'fuse-too-large',
  hazard: true,
  level: 'error',
  title: 'A fuse is larger than the wire behind it',
  needs: needs.fuses,
  explanation: `A fuse is there to save the wire. In a short circuit at the far end of a feed a fuse that is larger than the cable's
rating lets the cable burn first. So the fuse at the supply end is no larger than what the smallest cable behind it is rated
for (FAA AC 43.13-1B 11-48 states the same rule: the protector opens before the wire's rating is exceeded).

The thin wire of the strings themselves is not compared here: a fuse that suits a trunk is larger than they could stand
(common practice). Their load is watched by conductor-overloaded; a short circuit in a string is not.

What helps: a smaller fuse, if the load allows it, or a larger cable, or two in parallel.`,
  run: ({ plan, account }, report) => {
    for (const { feed } of account.feeds.values()) {
      for (const piece of feed.pieces) {
        if (piece.kind !== 'cable') continue;
        const found = tooLarge(plan, account, feed.from, piece);
        if (found === undefined) continue;
        report({ ...found, origin: piece.cableOrigin, subject: feed.name });
        break;
      }
    }
    for (const board of plan.boards.values()) {
      const found = tooLarge(plan, account, board.from, board);
      if (found !== undefined) report({ ...found, origin: board.cableOrigin, subject: board.name });
    }
    for (const { run } of account.runs.values()) {
      const fuse = run.controller?.part?.portFuse;
      const lead = run.pieces.find((piece) => piece.kind === 'lead');
      if (fuse === undefined || lead?.kind !== 'lead' || !lead.cable.cores.has('V+')) continue;
      const limit = lead.cable.rated;
      if (limit === undefined || !exceeds(fuse, limit.value)) continue;
      report({
        code: 'fuse-too-large',
        origin: lead.origin,
        subject: run.name,
        message: `The ${rating(fuse)} fuse of port ${portName(run)} lets more through than ${lead.cable.name} may carry (${rating(limit.value)}, ${limit.source}). Use a larger cable, or one without V+.`,
        related: run.portOrigin === undefined ? [] : [{ origin: run.portOrigin, message: 'The port.' }],
      });
    }
  },
};

/** A cable against the fuse that it hangs on; undefined where it may carry what the fuse lets through. */
function tooLarge(
  plan: Plan,
  account: Account,
  from: Output | undefined,
  { cable, parallel }: Pick<Board, 'cable' | 'parallel'>,
): Omit<Parameters<Report>[0], 'origin'> | undefined {
  const guard = from === undefined ? undefined : protectedBy(from);
  const { rated } = cable;
  if (guard === undefined || rated === undefined) return undefined;
  const { fuse } = guard;
  const limit = rated.value * parallel;
  if (!exceeds(fuse.amps, limit)) return undefined;
  const load = account.outputs.get(guard);
  const smaller = load === undefined ? undefined : ratedFuse(load, limit, plan.design.fuseShare.value, 'largest');
  return {
    code: 'fuse-too-large',
    message: `The ${rating(fuse.amps)} fuse of ${outputText(guard)} lets more through than ${cable.name}${doubledText(parallel)} may carry (${rating(limit)}, ${rated.source}). ${smaller === undefined ? 'Use a larger cable.' : `A ${rating(smaller)} fuse is enough here.`}`,
    related: [{ origin: fuse.origin, message: 'The fuse.' }],
    fixes: smaller === undefined || sharesLine(guard) ? [] : [smallerFuse(fuse.origin, smaller)],
  };
}

/** Other outputs stand on the same line of the plan, so that an edit would change their fuses too. */
function sharesLine(output: Output): boolean {
  return [...ownerOf(output).outputs.values()].some(
    (other) =>
      other.number !== output.number &&
      other.fuse !== undefined &&
      other.fuse.origin.start === output.fuse?.origin.start,
  );
}

function smallerFuse(origin: Origin, size: number): Fix {
  return { title: `Use a ${rating(size)} fuse`, edits: [{ origin, text: rating(size) }], preferred: true };
}
