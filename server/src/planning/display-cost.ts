import { compareLists } from './choose.ts';

/** What a proposal adds, in the order in which it counts. */
export interface DisplayCost {
  readonly unserved: number;
  /** Supplies that are not there yet. */
  readonly supplies: number;
  readonly limitedCables: number;
  /** Taps on runs, and boards: each is a place where someone joins cables. */
  readonly taps: number;
  /** m3 of copper in one rail, or money (see Cost). */
  readonly material: number;
}

export const NOTHING: DisplayCost = { unserved: 0, supplies: 0, limitedCables: 0, taps: 0, material: 0 };

export function compareDisplayCosts(a: DisplayCost, b: DisplayCost): number {
  return compareLists(listOf(a), listOf(b));
}

/** Costs that are compared one after the other may be added: a sum of least costs is the least sum. */
export function sumOfCosts(costs: readonly DisplayCost[]): DisplayCost {
  return costs.reduce(
    (sum, cost) => ({
      unserved: sum.unserved + cost.unserved,
      supplies: sum.supplies + cost.supplies,
      limitedCables: sum.limitedCables + cost.limitedCables,
      taps: sum.taps + cost.taps,
      material: sum.material + cost.material,
    }),
    NOTHING,
  );
}

export function lesserCost(a: DisplayCost, b: DisplayCost): DisplayCost {
  return compareDisplayCosts(a, b) <= 0 ? a : b;
}

function listOf({ unserved, supplies, limitedCables, taps, material }: DisplayCost): number[] {
  return [unserved, supplies, limitedCables, taps, material];
}
