import type { Network } from './network.ts';
import { regulatedSize, regulation } from './regulated.ts';

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
  network.largestAmps = Math.max(network.largestAmps, Math.abs(startAmps), Math.abs(endAmps));
  return true;
}
