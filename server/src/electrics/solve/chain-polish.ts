/** Newton's method on pixels that are close to their solution: without divisions, and without a search along the step. */
import { fitInterval } from './chain-interval.ts';
import { settledVolts } from './chain-settle.ts';
import { type Chain, type ChainScratch, mostGrowth, setPixelEnds } from './chain-state.ts';
import { bendFrom, pieceSize } from './load-curve.ts';

const leastPixels = 4;
const mostSweeps = 4;
/** A step above this does not count as close, V. */
const closeVolts = 1e-2;
/** What the step after the last may still be, V. */
const wantedVolts = 1e-11;

/**
 * Settles the pixels first .. last and sets the currents and slopes at the ends. False when they are not that close,
 * or do not suit: `settlePixels` then does it.
 */
export function polishPixels(chain: Chain, start: number, end: number, scratch: ChainScratch): boolean {
  const { curve, ohms } = chain;
  if (!curve.isMonotone) return false;
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    const pixels = chain.last - chain.first + 1;
    if (pixels < leastPixels) return false;
    const largest = march(chain, start, end, scratch);
    scratch.work += pixels;
    if (!(largest <= closeVolts)) {
      if (largest < Infinity) takeBack(chain, scratch);
      return false;
    }
    if (fitInterval(chain, start, end, scratch)) continue;
    // A step of d leaves at most r I'' d^2 / 2 too much at each pixel, which bends the chain by that times m^2 / 8.
    const next = (ohms * bendFrom(curve, seen.least - largest) * (largest * (pixels + 1)) ** 2) / 16;
    chain.isSettled = largest <= settledVolts || next <= wantedVolts;
    if (!chain.isSettled && !(next <= 10 * scratch.tolerance ** 2)) continue;
    setPixelEnds(chain, start, end, seen, false);
    return true;
  }
  return false;
}

/** Where `march` leaves the least volts, the share of y in its step, and the slopes of the end currents, times r. */
const seen = { least: NaN, share: NaN, startSlope: NaN, crossSlope: NaN, endSlope: NaN };

/**
 * One Newton step. Each pixel's equation gives the next pixel's step from those of the two before: marched from the
 * start, a particular solution z and the homogeneous ones y, which is 0 at the start joint, and x, which is 1 there and
 * 0 at the first pixel. The last equation then says how much of y to add. Returns the largest change, V, which is not
 * applied when it is infinite. In one piece with the load curve: this is where the time goes.
 */
function march(chain: Chain, start: number, end: number, scratch: ChainScratch): number {
  const { count, ohms, first, last, curve } = chain;
  const { from, terms } = curve;
  const { inverse: homogeneous, change } = scratch;
  const volts = chain.volts!;
  const bend = ohms * curve.fullAmps;
  const after = count - last;
  const top = from.length - 1;
  let j = top;
  let low = Infinity;
  let high = Infinity;
  let c0 = NaN;
  let c1 = NaN;
  let c2 = NaN;
  let c3 = NaN;
  let d2 = NaN;
  let d3 = NaN;

  // As if the pixel before the first were one pitch away, on the way to the joint, like all others; what the pixels in
  // regulation between draw is `extra`.
  let u = volts[first];
  let uBefore = u + (start - u) / first;
  let z = 0;
  let zBefore = 0;
  let y = first;
  let yBefore = first - 1;
  let x = 0;
  let xBefore = 1 / first;
  let extra = (bend * (first - 1)) / 2;
  for (let k = first; ; k++) {
    if (!(u >= low && u < high)) {
      if (!(u >= 0)) return Infinity;
      while (u < from[j]) j--;
      while (j < top && u >= from[j + 1]) j++;
      low = from[j];
      high = j < top ? from[j + 1] : Infinity;
      const t = j * pieceSize;
      c0 = ohms * terms[t];
      c1 = ohms * terms[t + 1];
      c2 = ohms * terms[t + 2];
      c3 = ohms * terms[t + 3];
      d2 = 2 * c2;
      d3 = 3 * c3;
    }
    if (k === last) break;
    const d = u - low;
    const next = volts[k + 1];
    const pull = 2 + c1 + d * (d2 + d * d3);
    const residual = c0 + d * (c1 + d * (c2 + d * c3)) + (u - uBefore) + (u - next) + extra;
    extra = 0;
    change[k] = z;
    homogeneous[k] = y;
    const zNext = pull * z + (residual - zBefore);
    const yNext = pull * y - yBefore;
    const xNext = pull * x - xBefore;
    zBefore = z;
    yBefore = y;
    xBefore = x;
    z = zNext;
    y = yNext;
    x = xNext;
    uBefore = u;
    u = next;
  }
  const d = u - low;
  const g = c1 + d * (d2 + d * d3);
  const own = c0 + d * (c1 + d * (c2 + d * c3));
  const residual = own + (u - uBefore) + (u - end) / after + extra + (bend * (after - 1)) / 2;
  change[last] = z;
  homogeneous[last] = y;
  const pull = 1 + 1 / after + g;
  const closing = pull * y - yBefore;
  if (!(closing < mostGrowth)) return Infinity;
  const share = (zBefore - pull * z - residual) / closing;
  let largest = 0;
  let least = Infinity;
  for (let k = first; k <= last; k++) {
    const step = change[k] + share * homogeneous[k];
    const now = volts[k] + step;
    volts[k] = now;
    const size = step < 0 ? -step : step;
    if (size > largest) largest = size;
    if (now < least) least = now;
  }
  seen.least = least;
  seen.share = share;
  seen.startSlope = 1 / first + (pull * x - xBefore) / closing;
  seen.crossSlope = 1 / after / closing;
  seen.endSlope = (1 - y / after / closing) / after;
  return largest;
}

/** Undoes the last step. */
function takeBack({ first, last, volts }: Chain, { inverse: homogeneous, change }: ChainScratch): void {
  for (let k = first; k <= last; k++) volts![k] -= change[k] + seen.share * homogeneous[k];
}
