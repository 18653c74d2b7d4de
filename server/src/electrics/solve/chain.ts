/**
 * A stretch seen from its two ends.
 *
 * Let p and n be the volts of the rails, u = p - n at a pixel, r = positiveOhms + negativeOhms per pitch. Kirchhoff's
 * laws for the two rails separate: the conductance-weighted mean c of p and n is linear along the stretch (it knows
 * nothing of the loads), and u obeys one scalar equation, with u[0] and u[N] given at the joints:
 *
 *     -u[k-1] + 2 u[k] - u[k+1] + r I(u[k]) = 0,   k = 1 .. N-1.
 *
 * Where every pixel is in regulation (I constant) u is a quadratic in k, so those pixels need no storage and no work:
 * between two known pixels m pitches apart they act as one resistor m r with a known current at either end.
 * Only the pixels `first .. last` below the knee are unknowns; as I >= 0, u is convex, and those pixels are neighbours.
 * They are found by Newton's method: at a few places only while the ends still move by much (`chain-rough.ts`), then
 * each pixel, by tridiagonal elimination (`chain-settle.ts`) or, close to the solution, without divisions
 * (`chain-polish.ts`).
 */
import { dropRegulated, fitInterval } from './chain-interval.ts';
import { polishPixels } from './chain-polish.ts';
import { roughVolts, solveRough, spreadRough } from './chain-rough.ts';
import { settlePixels } from './chain-settle.ts';
import { type Chain, type ChainScratch, sag, setEnds } from './chain-state.ts';

/**
 * Solves the chain for the voltages at its two joints and sets its currents and slopes.
 * With `rising`, slopes of falling loads (converters) count as zero, so that the slopes describe a positive
 * definite network even where the true one is not.
 */
export function solveChain(chain: Chain, start: number, end: number, scratch: ChainScratch, rising: boolean): void {
  const { count, ohms, curve } = chain;
  const isRough = scratch.tolerance >= roughVolts && !scratch.isPlain;
  if ((isRough || chain.rough !== null) && solveRough(chain, start, end, scratch)) {
    if (isRough) return;
    spreadRough(chain, scratch);
  }
  dropRegulated(chain);
  fitInterval(chain, start, end, scratch);
  if (chain.first > chain.last) {
    const through = (start - end) / (count * ohms);
    const half = (curve.fullAmps * (count - 1)) / 2;
    const slope = 1 / (count * ohms);
    setEnds(chain, end, through + half, through - half, slope, slope, slope, rising);
    chain.isSettled = true;
  } else if (scratch.isPlain || !polishPixels(chain, start, end, scratch)) {
    settlePixels(chain, start, end, scratch, rising);
  }
}

/** u at pixel k (0 .. N) of a chain that was solved for these end voltages. */
export function chainVolts(chain: Chain, start: number, end: number, k: number): number {
  const { count, first, last, volts } = chain;
  const bend = chain.ohms * chain.curve.fullAmps;
  if (first > last) return sag(start, end, count, k, bend);
  if (k < first) return sag(start, volts![first], first, k, bend);
  if (k > last) return sag(volts![last], end, count - last, k - last, bend);
  return volts![k];
}
