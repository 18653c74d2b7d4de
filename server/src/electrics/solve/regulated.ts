/**
 * Stretches whose pixels are all in regulation, on flat arrays: most of a display, most of the time. Seen from its ends
 * such a stretch is a resistor with a known current at either end, and its slopes never change (see `chain.ts`).
 */
import type { Stretch } from '../circuit.ts';
import type { LoadCurve } from './load-curve.ts';
import type { Network } from './network.ts';

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

/**
 * Evaluates a stretch if it is closed and stays so: neither end, nor the bottom of the quadratic between them, is below
 * the knee. False, with nothing done, when it may be otherwise. In one piece and without calls, since it is
 * done for every stretch in every round.
 */
export function evaluateRegulated(network: Network, id: number, t: number): boolean {
  const { regulated, regulatedTable: table, volts, flow, structure } = network;
  if (regulated[id] === regulation.open) return false;
  const { terminalNode } = structure;
  const positiveStart = volts[terminalNode[t]];
  const negativeStart = volts[terminalNode[t + 1]];
  const positiveEnd = volts[terminalNode[t + 2]];
  const negativeEnd = volts[terminalNode[t + 3]];
  const start = positiveStart - negativeStart;
  const end = positiveEnd - negativeEnd;
  const at = id * regulatedSize;
  const knee = table[at + 4];
  if (!(start >= knee && end >= knee)) return false;
  const bend = table[at + 3];
  const pitches = table[at + 5];
  const steepness = (end - start) / pitches - (bend * pitches) / 2;
  const hasBottom = steepness < 0 && steepness + bend * pitches > 0;
  if (hasBottom && steepness * steepness > 2 * bend * (start - knee)) return false;

  const startAmps = table[at] * (start - end) + table[at + 1];
  // Less what the pixels but the last draw, and the last.
  const endAmps = startAmps - 2 * table[at + 1] - table[at + 2];
  const share = table[at + 6];
  const common = table[at + 7] * (share * (positiveStart - positiveEnd) + (1 - share) * (negativeStart - negativeEnd));
  const positive = share * common;
  const negative = common - positive;
  flow[t] = startAmps + positive;
  flow[t + 1] = negative - startAmps;
  flow[t + 2] = -endAmps - positive;
  flow[t + 3] = endAmps - negative;
  const size = Math.max(Math.abs(startAmps), Math.abs(endAmps));
  if (size > network.largestAmps) network.largestAmps = size;
  return true;
}
