import { sure } from '#grammar/sure.ts';
import { type Account, pixelsOf } from '../model/account.ts';
import { circuitAmps } from '../model/circuit-load.ts';
import { type Expectation, isOfDesign, lookKey } from '../model/claims.ts';
import type { Plan, StringPiece } from '../model/plan.ts';
import { amps, count, volts as voltsText, watts } from '../model/texts.ts';
import { cablesOn } from './route-crowded.ts';

/** A computed value beside what is expected of it, in the unit of the limit (V, A, W or a number of cables). */
export interface Found {
  readonly value: number;
  /** Pixel along the run, where the value is that of one among several. */
  readonly pixel: number | undefined;
}

/** What is computed for an expectation; undefined where nothing is: no solution, or no power. */
export function foundFor(plan: Plan, whole: Account, expectation: Expectation): Found | undefined {
  const account = isOfDesign(expectation, plan.design) ? whole : whole.looks?.get(lookKey(expectation));
  const value = account === undefined ? undefined : computed(plan, account, expectation);
  return value === undefined || !Number.isFinite(value.value) ? undefined : value;
}

function computed(plan: Plan, account: Account, { subject, side, quantity }: Expectation): Found | undefined {
  const plain = (value: number | undefined): Found | undefined =>
    value === undefined ? undefined : { value, pixel: undefined };
  switch (subject.kind) {
    case 'pixels': {
      const run = account.runs.get(subject.run);
      if (run === undefined) return undefined;
      const { volts, amps } = pixelsOf(run);
      if (quantity === 'voltage') return extreme(volts, subject.pieces, side);
      let sum = 0;
      for (const { first, count } of subject.pieces)
        for (let pixel = first; pixel < first + count; pixel++) sum += sure(amps[pixel - 1]);
      return plain(sum);
    }
    case 'joint': {
      const run = account.runs.get(subject.run);
      const string = run?.strings.find(({ piece }) => piece === subject.piece);
      if (run === undefined || string === undefined) return undefined;
      if (subject.pixel === 0) return plain(string.startVolts);
      return plain(pixelsOf(run).volts[subject.piece.first + subject.pixel - 2]);
    }
    case 'feed': {
      const feed = account.feeds.get(subject.feed);
      return plain(quantity === 'current' ? feed?.amps : feed?.drop);
    }
    case 'supply': {
      const supply = account.supplies.get(subject.supply);
      return plain(quantity === 'current' ? supply?.amps : quantity === 'power' ? supply?.watts : supply?.volts);
    }
    case 'circuit': {
      const on = [...plan.supplies.values()].filter((supply) => supply.circuit === subject.circuit);
      return on.every((supply) => account.supplies.has(supply))
        ? plain(circuitAmps(account, subject.circuit))
        : undefined;
    }
    case 'route':
      return plain(cablesOn(plan, subject.route).reduce((sum, cable) => sum + cable.count, 0));
  }
}

/** The pixel of some strings with the least or the most volts. */
function extreme(volts: Float64Array, pieces: readonly StringPiece[], side: 'least' | 'most'): Found | undefined {
  let found: Found | undefined;
  for (const { first, count } of pieces) {
    for (let pixel = first; pixel < first + count; pixel++) {
      const value = sure(volts[pixel - 1]);
      if (found === undefined || (side === 'least' ? value < found.value : value > found.value))
        found = { value, pixel };
    }
  }
  return found;
}

/** A share of the limit that is left to the solution of the circuit, which is not exact to the last digit. */
const ACCURACY = 1e-6;

/** Does it hold? A value that is not computed does not. */
export function holds(expectation: Expectation, found: Found | undefined): boolean {
  return found !== undefined && beyond(expectation, found) <= ACCURACY;
}

/** How far a value is beyond its limit, as a share of it; 0 or less where it holds. */
export function beyond({ side, limit }: Expectation, { value }: Found): number {
  const over = side === 'most' ? value - limit : limit - value;
  return over / Math.max(Math.abs(limit), 1e-9);
}

/** A value of an expectation's kind, as a person reads it; volts to the millivolt where rounding would hide a miss. */
export function valueText({ quantity, limit }: Pick<Expectation, 'quantity' | 'limit'>, value: number): string {
  switch (quantity) {
    case 'voltage':
      return value !== limit && voltsText(value) === voltsText(limit) ? `${value.toFixed(4)} V` : voltsText(value);
    case 'current':
      return value !== limit && amps(value) === amps(limit) ? `${value.toFixed(4)} A` : amps(value);
    case 'power':
      return value !== limit && watts(value) === watts(limit) ? `${value.toFixed(3)} W` : watts(value);
    case 'cables':
      return count(value, 'cable');
  }
}
