import type { Plan } from '../model/plan.ts';
import { costOf, type Money, moneyText, type Price, packsFor, sumOf } from '../model/prices.ts';
import { count } from '../model/texts.ts';
import { type Need, needsOf } from './needs.ts';

/** A part with its price: how much of it is bought, spares and whole packs included, and what that costs. */
export interface Cost {
  readonly need: Need;
  readonly price: Price;
  /** Packs, or pieces, pixels or metres where it is not sold in packs. */
  readonly bought: number;
  readonly amount: number;
}

export interface Costs {
  readonly costs: readonly Cost[];
  readonly total: Money;
  /** What has no price in the plan and is in no sum. */
  readonly unpriced: readonly Need[];
}

/** What the parts of a display cost, spares included. */
export function costsOf(plan: Plan): Costs {
  const needs = needsOf(plan);
  const costs = needs.flatMap((need): Cost[] => {
    const { price } = need;
    if (price === undefined) return [];
    const together = need.amount + need.spare;
    return [{ need, price, bought: packsFor(price, together), amount: costOf(price, together) }];
  });
  return {
    costs,
    total: sumOf(costs.map(({ price, amount }) => ({ currency: price.currency, amount }))),
    unpriced: needs.filter(({ price }) => price === undefined),
  };
}

/** "612.40 EUR with spares; 2 kinds of parts have no price"; undefined where no part has one. */
export function costText({ total, unpriced }: Costs): string | undefined {
  if (total.size === 0) return undefined;
  const left =
    unpriced.length === 0 ? '' : `; ${count(unpriced.length, 'kind of part has', 'kinds of parts have')} no price`;
  return `${moneyText(total)} with spares${left}`;
}
