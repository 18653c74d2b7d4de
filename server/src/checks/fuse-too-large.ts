import type { Account } from '../model/account.ts';
import type { Fix, Origin, Report } from '../model/finding.ts';
import { ratedFuse } from '../model/fuses.ts';
import { outputText, ownerOf, protectedBy } from '../model/outputs.ts';
import type { Board, Output, Plan } from '../model/plan.ts';
import { portName } from '../model/port-of.ts';
import { rating } from '../model/texts.ts';
import type { Check } from './check.ts';
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
      const guard = feed.from === undefined ? undefined : protectedBy(feed.from);
      if (guard === undefined) continue;
      const { fuse } = guard;
      for (const piece of feed.pieces) {
        if (piece.kind !== 'cable' || piece.cable.rated === undefined) continue;
        const limit = piece.cable.rated.value * piece.parallel;
        if (fuse.amps <= limit * (1 + 1e-9)) continue;
        const load = loadOf(account, guard);
        const smaller = ratedFuse(load, limit, plan.design.fuseShare.value, 'largest');
        report({
          code: 'fuse-too-large',
          origin: piece.cableOrigin,
          subject: feed.name,
          message: `The ${rating(fuse.amps)} fuse of ${outputText(guard)} lets more through than ${piece.cable.name}${piece.parallel > 1 ? ` x ${piece.parallel}` : ''} may carry (${rating(limit)}, ${piece.cable.rated.source}). ${smaller === undefined ? 'Use a larger cable.' : `A ${rating(smaller)} fuse is enough here.`}`,
          related: [{ origin: fuse.origin, message: 'The fuse.' }],
          fixes: smaller === undefined || sharesLine(guard) ? [] : [smallerFuse(fuse.origin, smaller)],
        });
        break;
      }
    }
    for (const board of plan.boards.values()) lookAtBoard(plan, account, board, report);
    for (const { run } of account.runs.values()) {
      const fuse = run.controller?.part?.portFuse;
      const lead = run.pieces.find((piece) => piece.kind === 'lead');
      if (fuse === undefined || lead?.kind !== 'lead' || !lead.cable.cores.has('V+')) continue;
      const limit = lead.cable.rated;
      if (limit === undefined || fuse <= limit.value * (1 + 1e-9)) continue;
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

/** The cable to a fused board against the fuse in front of it. */
function lookAtBoard(plan: Plan, account: Account, board: Board, report: Report): void {
  const guard = protectedBy(board.from);
  const { rated } = board.cable;
  if (guard === undefined || rated === undefined) return;
  const limit = rated.value * board.parallel;
  if (guard.fuse.amps <= limit * (1 + 1e-9)) return;
  const smaller = ratedFuse(loadOf(account, guard), limit, plan.design.fuseShare.value, 'largest');
  report({
    code: 'fuse-too-large',
    origin: board.cableOrigin,
    subject: board.name,
    message: `The ${rating(guard.fuse.amps)} fuse of ${outputText(guard)} lets more through than ${board.cable.name}${board.parallel > 1 ? ` x ${board.parallel}` : ''} may carry (${rating(limit)}, ${rated.source}). ${smaller === undefined ? `Use a larger cable to ${board.name}.` : `A ${rating(smaller)} fuse is enough here.`}`,
    related: [{ origin: guard.fuse.origin, message: 'The fuse.' }],
    fixes: smaller === undefined || sharesLine(guard) ? [] : [smallerFuse(guard.fuse.origin, smaller)],
  });
}

/** What an output carries, found by its name, since a guard is a copy. */
function loadOf(account: Account, output: Output): number {
  const same = ownerOf(output).outputs.get(output.number);
  return same === undefined ? 0 : (account.outputs.get(same) ?? 0);
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
