/**
 * Stretches whose pixels are all in regulation, on flat arrays: most of a display, most of the time. Seen from its ends
 * such a stretch is a resistor with a known current at either end, and its slopes never change (see `chain.ts`).
 */
import type { Stretch } from '../circuit.ts';
import type { LoadCurve } from './load-curve.ts';

/** What is known of a stretch's pixels, by stretch. */
export const regulation = {
  /** Some may be below the knee, or nobody has looked: `solveChain` decides. */
  open: 0,
  /** All are above the knee at the volts last seen; the slopes are not stored yet. */
  closed: 1,
  /** The same, and its branches have the slopes of a stretch in regulation. */
  stored: 2,
} as const;

/** The numbers of one stretch, side by side: one visit of memory instead of four objects. */
export const regulatedSize = 8;

/** Writes down the numbers of a stretch at `at`. */
export function putRegulated(table: Float64Array, at: number, stretch: Stretch, curve: LoadCurve): void {
  const { count, positiveOhms, negativeOhms } = stretch;
  const ohms = positiveOhms + negativeOhms;
  const positiveShare = negativeOhms / ohms;
  table[at] = 1 / (count * ohms);
  table[at + 1] = (curve.fullAmps * (count - 1)) / 2;
  table[at + 2] = curve.fullAmps;
  table[at + 3] = ohms * curve.fullAmps;
  table[at + 4] = curve.regulatedVolts;
  table[at + 5] = count;
  table[at + 6] = positiveShare;
  table[at + 7] = 1 / (positiveShare * positiveOhms * count);
}
