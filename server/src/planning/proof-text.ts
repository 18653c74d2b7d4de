import { count, share } from '../model/texts.ts';
import type { DisplayPlan } from './plan-display.ts';

/** What is said where nothing is proposed. `isPartial`: some of the plan could not be looked at. */
export function nothingText({ open }: Pick<DisplayPlan, 'open'>, isPartial: boolean): string {
  if (open.length > 0) return 'No injection helps.';
  return isPartial
    ? 'Nothing is wanting in what could be looked at.'
    : 'Nothing is wanting: every run has its voltage.';
}

/**
 * How far the answer may be from the best one: what is proven, and the first thing that is not. `isPartial`: some of the
 * plan could not be looked at.
 */
export function proofText(
  { cost, bound, currency }: Pick<DisplayPlan, 'cost' | 'bound' | 'currency'>,
  isPartial = false,
): string {
  if (isPartial) return 'Nothing is proven, since some of the plan could not be looked at.';
  const material = currency === undefined ? 'copper' : 'money for cable';
  if (cost.unserved > bound.unserved) return 'That no plan serves every run is not proven.';
  const supplies = count(bound.supplies, 'more supply has', 'more supplies have');
  if (cost.supplies > bound.supplies) {
    const least = bound.supplies > 0 ? ` At least ${supplies} to be added.` : '';
    return `That it cannot be done with fewer supplies is not proven.${least}`;
  }
  if (cost.supplies > 0)
    return `Proven in part. At least ${supplies} to be added, for what the others may give is less than what the runs draw at their least voltage, or of another voltage. What the rest takes may be more than needed.`;
  const kind = 'With feeds of one cable for each run, from what there is or from a board on a trunk to its place,';
  const [cables, taps] = [cost.limitedCables, cost.taps];
  if (cables > bound.limitedCables)
    return `Not proven least. ${kind} ${count(cables, 'cable')} through limited routes may be more than needed; at least ${bound.limitedCables}.`;
  if (taps > bound.taps)
    return `Proven in part. ${kind} no answer has fewer cables through limited routes. ${count(taps, 'tap and board', 'taps and boards')} may be more than needed; at least ${bound.taps}.`;
  const least = `${kind} no answer has fewer cables through limited routes, then fewer taps and boards`;
  if (cost.material <= bound.material * (1 + 1e-6)) return `Proven. ${least}, then less ${material}.`;
  const above = bound.material > 0 ? share(cost.material / bound.material - 1) : 'any amount';
  return `Proven in part. ${least}. The ${material} may be more than the least by ${above} at most.`;
}
