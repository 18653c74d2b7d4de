import type { Preview, SuggestContext } from '../checks/check.ts';
import { worsens } from '../checks/worsens.ts';
import type { Edit, Finding } from '../model/finding.ts';
import type { Run } from '../model/plan.ts';
import { CURED_BY_INJECTION, withoutSpared } from './trial.ts';

/** The plan after some edits, if they close a finding and make nothing else worse. */
export function closes(ctx: SuggestContext, finding: Finding, edits: readonly Edit[]): Preview | undefined {
  const after = ctx.preview(edits);
  const isOpen = after.findings.some(
    ({ code, subject, origin }) =>
      code === finding.code &&
      (finding.subject === undefined ? origin.start === finding.origin.start : subject === finding.subject),
  );
  return isOpen || worsens(ctx.preview([]).findings, after.findings) ? undefined : after;
}

/** Whether a run is well after some edits and nothing else is worse, but for runs that are spared. */
export function curesRun(ctx: SuggestContext, run: Run, edits: readonly Edit[], spared?: ReadonlySet<string>): boolean {
  const { findings } = ctx.preview(edits);
  return (
    !findings.some(({ code, subject }) => subject === run.name && CURED_BY_INJECTION.has(code)) &&
    !worsens(ctx.preview([]).findings, withoutSpared(findings, spared))
  );
}
