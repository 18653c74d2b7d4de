import type { CheckContext, SuggestContext } from '../checks/check.ts';
import { pixelsOfPlan } from '../checks/too-many-pixels.ts';
import type { Finding, Fix } from '../model/finding.ts';
import type { Steps } from '../model/steps.ts';
import { whyNoInjection } from './reasons.ts';
import { suggestAddress } from './suggest-address.ts';
import { suggestCable } from './suggest-cable.ts';
import { suggestCut } from './suggest-cut.ts';
import { suggestFuse } from './suggest-fuse.ts';
import { suggestInjection } from './suggest-injection.ts';
import { suggestMovedCut } from './suggest-moved-cut.ts';
import { suggestSlack } from './suggest-slack.ts';
import { suggestSplit } from './suggest-split.ts';
import { CURED_BY_INJECTION } from './trial.ts';

/** Above this a search would keep everything else waiting. */
const MOST_SEARCHED = 100_000;

/** In steps: at most one look at the plan as a whole in each, so that who asked may leave it there. */
type Suggest = (ctx: SuggestContext, finding: Finding) => Steps<readonly Fix[]>;

/** Fixes that need computing, by the code of the finding; each leaves a plan that checks clean. */
const SUGGESTIONS: ReadonlyMap<string, readonly Suggest[]> = new Map<string, readonly Suggest[]>([
  ...[...CURED_BY_INJECTION].map((code) => [code, [suggestMovedCut, suggestInjection, suggestCable]] as const),
  ['supplies-meet', [suggestMovedCut, suggestCut]],
  ['supply-overloaded', [suggestMovedCut]],
  ['fuse-overloaded', [suggestFuse]],
  ['port-pixels', [suggestSplit]],
  ['cable-too-short', [suggestSlack]],
  ['address-overlap', [suggestAddress]],
  ['address-range', [suggestAddress]],
]);

/** Computes fixes for a finding; called only when someone asks. One of them is preferred at most. */
export function* suggestFixes(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  // Each trial solves a part of the plan again.
  if (pixelsOfPlan(ctx.plan) > MOST_SEARCHED) return [];
  const fixes: Fix[] = [];
  for (const suggest of SUGGESTIONS.get(finding.code) ?? []) {
    yield;
    fixes.push(...(yield* suggest(ctx, finding)));
  }
  const first = fixes.findIndex(({ preferred }) => preferred);
  return fixes.map((fix, index) => (index === first ? fix : { ...fix, preferred: false }));
}

/** What would have been done about a finding that has no fix, and why it cannot be. */
export interface Refusal {
  readonly title: string;
  readonly reason: string;
}

export function whyNoFix(ctx: CheckContext, finding: Finding): Refusal | undefined {
  const run = ctx.plan.runs.get(finding.subject ?? '');
  if (run === undefined || !CURED_BY_INJECTION.has(finding.code)) return undefined;
  const title = `Inject power into ${run.name}`;
  if (pixelsOfPlan(ctx.plan) > MOST_SEARCHED)
    return { title, reason: `fixes are searched for in plans of up to ${MOST_SEARCHED.toLocaleString('en')} pixels.` };
  return { title, reason: whyNoInjection(ctx, run) };
}
