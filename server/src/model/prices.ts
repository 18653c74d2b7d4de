/** What things cost. A currency is what the plan writes; amounts in different ones are never added. */

export interface Price {
  /** Of one pack, or of one piece, pixel or metre where there is none. */
  readonly amount: number;
  readonly currency: string;
  /** Pieces, pixels or metres in a pack, which is bought whole. */
  readonly pack: number | undefined;
}

export interface Priced {
  readonly price: Price | undefined;
}

/** Amounts by currency, in the order in which the currencies were met. */
export type Money = ReadonlyMap<string, number>;

/** How many packs, or how much where it is not sold in packs, have to be bought for `needed` pieces, pixels or metres. */
export function packsFor({ pack }: Price, needed: number): number {
  // A hair's breadth over a whole drum is a sum of lengths, not a cut.
  return pack === undefined ? needed : Math.ceil(needed / pack - 1e-9);
}

export function costOf(price: Price, needed: number): number {
  return packsFor(price, needed) * price.amount;
}

export function sumOf(costs: Iterable<{ readonly currency: string; readonly amount: number }>): Money {
  const sums = new Map<string, number>();
  for (const { currency, amount } of costs) sums.set(currency, (sums.get(currency) ?? 0) + amount);
  return sums;
}

/** "1,234.50 EUR" */
export function amountText(amount: number, currency: string): string {
  return `${amount.toLocaleString('en', { minimumFractionDigits: 2, maximumFractionDigits: 2 })} ${currency}`;
}

/** "1,234.50 EUR and 80.00 USD" */
export function moneyText(money: Money): string {
  return [...money].map(([currency, amount]) => amountText(amount, currency)).join(' and ');
}
