import type { SuggestContext } from '../checks/check.ts';
import { worsens } from '../checks/worsens.ts';
import type { Edit } from '../model/finding.ts';
import { unitOfRun } from '../model/fixtures.ts';
import type { Run } from '../model/plan.ts';
import { CURED_BY_INJECTION } from './trial.ts';

/** A plan that can be changed step by step; it stays as it is, each change makes another one. */
export interface Bench {
  readonly ctx: SuggestContext;
  readonly after: (edits: readonly Edit[]) => Bench;
}

/** Runs of pixels that more injection would help. */
export function wantingRuns(ctx: SuggestContext): Run[] {
  return [...ctx.plan.runs.values()].filter((run) => unitOfRun(run) === 'pixel' && isWanting(ctx, run));
}

export function isWanting(ctx: SuggestContext, run: Run): boolean {
  return ctx.preview([]).findings.some(({ code, subject }) => subject === run.name && CURED_BY_INJECTION.has(code));
}

/** Whether anything is worse on one bench than on another; `only` where it is about some runs. */
export function isWorse(before: Bench, after: Bench, only?: ReadonlySet<string>): boolean {
  const now = after.ctx.preview([]).findings;
  const blamed = only === undefined ? now : now.filter(({ subject }) => only.has(subject ?? ''));
  return worsens(before.ctx.preview([]).findings, blamed);
}
