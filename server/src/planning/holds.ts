import type { Preview, SuggestContext } from '../checks/check.ts';
import { worsens } from '../checks/worsens.ts';
import type { Edit, Finding } from '../model/finding.ts';
import type { Run } from '../model/plan.ts';
import { CURED_BY_INJECTION, withoutSpared } from './trial.ts';

/** The plan after some edits, if they close a finding and make nothing else worse. */
export function closes(ctx: SuggestContext, finding: Finding, edits: readonly Edit[]): Preview | undefined {
  const after = ctx.preview(edits);
  const before = ctx.preview([]).findings;
  const others = before.filter((other) => isAlike(other, finding) && !isBeside(other, finding));
  const isOpen = after.findings.some(
    (found) => isAlike(found, finding) && !others.some((other) => isBeside(other, found)),
  );
  return isOpen || worsens(before, after.findings) ? undefined : after;
}

function isAlike({ code, subject }: Finding, finding: Finding): boolean {
  return code === finding.code && subject === finding.subject;
}

/** In the same statement; a run and a feed may go by one name, and what is amiss with one of them is not with the other. */
function isBeside(a: Finding, b: Finding): boolean {
  return a.origin.declaration === b.origin.declaration;
}

/** Whether a run is well after some edits and nothing else is worse, but for runs that are spared. */
export function curesRun(ctx: SuggestContext, run: Run, edits: readonly Edit[], spared?: ReadonlySet<string>): boolean {
  const { findings } = ctx.preview(edits);
  return (
    !findings.some(({ code, subject }) => subject === run.name && CURED_BY_INJECTION.has(code)) &&
    !worsens(ctx.preview([]).findings, withoutSpared(findings, spared))
  );
}
