import type { Finding, Fix } from '../model/finding.ts';
import type { Plan } from '../model/plan.ts';
import { metres, volts } from '../model/texts.ts';
import type { SuggestContext } from './check.ts';
import { InjectionSearch, inOrder, type Suggestion } from './injection-search.ts';
import { cablesFor, suppliesFor } from './reach.ts';

/**
 * Suggests injection points for a run: taps at places where a hand can reach, fed from outputs that are free, with a
 * cable that the plan already knows. Each suggestion is tried on the whole plan before it is offered: afterwards the run
 * is sound and nothing else has become worse.
 *
 * The search is greedy on the real network: the next tap goes where the run is worst, moved to the nearest joint if that
 * is close; taps that turn out not to be needed are taken away again. It is made for separate feeds and for one trunk with
 * all taps. Offered first is what needs the fewest cables, then the fewest taps, then the least copper; that no better
 * answer exists is not proven.
 */
export function suggestInjection(ctx: SuggestContext, finding: Finding): readonly Fix[] {
  const run = ctx.plan.runs.get(finding.subject ?? '');
  if (run === undefined) return [];
  const found: Suggestion[] = [];
  for (const supply of suppliesFor(ctx.plan, run)) {
    for (const cable of cablesFor(ctx.plan)) {
      for (const trunk of [false, true]) {
        const suggestion = new InjectionSearch(ctx, run, supply, cable, trunk).find();
        // A single tap is the same as a trunk and as a feed.
        if (suggestion !== undefined && !(trunk && suggestion.taps.length === 1)) found.push(suggestion);
      }
      if (found.some((suggestion) => suggestion.taps.length === 1)) break;
    }
    if (found.length > 0) break;
  }
  return found
    .sort((a, b) => a.cables - b.cables || a.taps.length - b.taps.length || a.copper - b.copper)
    .slice(0, 3)
    .map((suggestion, index) => ({
      title: titleOf(ctx.plan, suggestion),
      edits: suggestion.edits,
      preferred: index === 0,
    }));
}

function titleOf(plan: Plan, suggestion: Suggestion): string {
  const where = inOrder(suggestion.taps).map((tap) => tap.text);
  const list = where.length <= 2 ? where.join(' and ') : `${where.length} points`;
  const how = suggestion.cables === 1 && where.length > 1 ? ' from one trunk' : '';
  return `Inject at ${list}${how}: least ${volts(suggestion.least)}, ${metres(suggestion.metres, plan.design.units)} of ${suggestion.cable.name}`;
}
