import type { SuggestContext } from '../checks/check.ts';
import type { Finding, Fix } from '../model/finding.ts';
import { unitOfRun } from '../model/fixtures.ts';
import { once } from '../model/once.ts';
import type { Plan } from '../model/plan.ts';
import type { Steps } from '../model/steps.ts';
import { count, metres, volts } from '../model/texts.ts';
import type { Answer } from './answer.ts';
import { curesRun } from './holds.ts';
import { injectionSteps, SEARCH_OPTIONS } from './injection-search.ts';

/** Suggests feeds for a run that is wanting; the one that costs least first (see searchInjection). */
export function* suggestInjection(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const run = ctx.plan.runs.get(finding.subject ?? '');
  // Panels and floods have a plug each: they are fed, not injected.
  if (run === undefined || unitOfRun(run) !== 'pixel') return [];
  const { answers, isProven } = yield* injectionSteps(ctx, run, { ...SEARCH_OPTIONS, defers: true });
  return answers.map((answer, index) => ({
    // The first one is taken for the best; the others are alternatives.
    title: titleOf(ctx.plan, answer, answer.isBuilt || (index === 0 && !isProven)),
    edits: answer.edits,
    preferred: index === 0,
    ...(answer.isSeen ? {} : { holds: once(() => curesRun(ctx, run, answer.edits)) }),
  }));
}

/** "Inject at eaves.end: least 11.35 V, 13 m of two-core-14". */
export function titleOf(plan: Plan, answer: Answer, isDoubtful = answer.isBuilt): string {
  const { choice, spots, least, metres: length } = answer;
  const where = spots.map(({ text }) => text);
  const list = where.length <= 2 ? where.join(' and ') : `${where.length} points`;
  const how = choice.trunk && where.length > 1 ? ' from one trunk' : '';
  const cables = choice.trunk ? 1 : where.length;
  const doubled = choice.parallel > 1 ? ` x ${choice.parallel}` : '';
  return `Inject at ${list}${how}: least ${volts(least)}, ${count(cables, 'cable')}, ${metres(length, plan.design.units)} of ${choice.cable.name}${doubled}${isDoubtful ? ', not proven least' : ''}`;
}
