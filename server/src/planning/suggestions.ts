import type { SuggestContext } from '../checks/check.ts';
import type { Finding, Fix } from '../model/finding.ts';
import { suggestCut } from './suggest-cut.ts';
import { suggestInjection } from './suggest-injection.ts';
import { CURED_BY_INJECTION } from './trial.ts';

type Suggest = (ctx: SuggestContext, finding: Finding) => readonly Fix[];

/** Fixes that need computing, by the code of the finding; each leaves a plan that checks clean. */
const SUGGESTIONS: ReadonlyMap<string, Suggest> = new Map<string, Suggest>([
  ...[...CURED_BY_INJECTION].map((code) => [code, suggestInjection] as const),
  ['supplies-meet', suggestCut],
]);

/** Computes fixes for a finding; called only when someone asks. */
export function suggestFixes(ctx: SuggestContext, finding: Finding): readonly Fix[] {
  return SUGGESTIONS.get(finding.code)?.(ctx, finding) ?? [];
}
