/** Newton's method on the pixels of a chain that are solved one by one. */
import { drawPixels } from './chain-draw.ts';
import { fitInterval } from './chain-interval.ts';
import { type Chain, type ChainScratch, setPixelEnds } from './chain-state.ts';

const mostSweeps = 80;
/** A Newton step below this is the last one: the next would be of the order of its square. */
export const settledVolts = 1e-8;

/** Newton's method on the pixels first .. last; a step that overshoots is cut back along its own direction. */
export function settlePixels(chain: Chain, start: number, end: number, scratch: ChainScratch, rising: boolean): void {
  const { change } = scratch;
  const volts = chain.volts!;
  const enough = Math.max(settledVolts, scratch.tolerance);
  let descent = 0;
  let step = 0;
  let largest = Infinity;
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    const overshoot = eliminate(chain, start, end, scratch, rising, step > 0);
    if (step > 1e-6 && overshoot > 0.5 * descent) {
      // The energy's slope along the step, -descent at its foot, has turned positive: go back to where it was zero.
      const back = step * Math.min(0.9, overshoot / (overshoot + descent));
      for (let k = chain.first; k <= chain.last; k++) volts[k] -= back * change[k];
      step -= back;
      continue;
    }
    largest = substitute(chain, scratch);
    scratch.work += chain.last - chain.first + 1;
    if (scratch.work > scratch.mostWork) break;
    descent = seen.descent;
    step = 1;
    if (largest <= enough) break;
    if (fitInterval(chain, start, end, scratch)) step = 0;
  }
  chain.isSettled = largest <= settledVolts;
  setPixelEnds(chain, start, end, seen, rising);
}

/** Where `eliminate` leaves the slopes of the end currents, times r, and the energy's slope at the step's foot. */
const seen = { startSlope: NaN, crossSlope: NaN, endSlope: NaN, descent: NaN };

/**
 * Forward half of one Newton step at the present volts, in units of 1 / r: residuals and pivots, from both ends at
 * once towards the middle pixel (two independent chains of operations keep the processor busy), and the slopes seen
 * from the ends (corners of the inverse matrix).
 *
 * Returns residual . change, the slope of the energy along the last step, if there was one. A pivot that is not
 * positive means that falling loads make the chain unstable there: their slopes are then left out.
 */
function eliminate(
  chain: Chain,
  start: number,
  end: number,
  scratch: ChainScratch,
  rising: boolean,
  wasMoved: boolean,
): number {
  const { count, ohms, first, last, curve } = chain;
  const { inverse, change, carry, draw, grip } = scratch;
  const volts = chain.volts!;
  const bend = ohms * curve.fullAmps;
  const after = count - last;
  const middle = (first + last) >> 1;
  drawPixels(chain, scratch, rising);

  // Per side: the present pixel's volts, the flow into it from outside, the pull of what lies outside, and what
  // elimination carries on. `reach` is how far a volt at the joint gets, `corner` what comes back of it.
  let u = volts[first];
  let flow = (start - u) / first - (bend * (first - 1)) / 2;
  let pull = 1 / first;
  let carried = 0;
  let reach = 1;
  let corner = 0;
  let uR = volts[last];
  let flowR = (end - uR) / after - (bend * (after - 1)) / 2;
  let pullR = 1 / after;
  let carriedR = 0;
  let reachR = 1;
  let cornerR = 0;
  let energySlope = 0;
  let descent = 0;
  let least = Infinity;

  // The left side has one pixel less than the right when their number is even.
  for (let k = first, kR = last; kR > middle; k++, kR--) {
    const nextR = volts[kR - 1];
    const residualR = uR - nextR - flowR + draw[kR];
    const pivotR = pullR + 1 + grip[kR];
    const invR = 1 / pivotR;
    const ownR = carriedR - residualR;
    inverse[kR] = invR;
    carry[kR] = ownR;
    carriedR = ownR * invR;
    descent += ownR * carriedR;
    cornerR += reachR * reachR * invR;
    reachR = reachR > negligible ? reachR * invR : 0;
    flowR = uR - nextR;
    pullR = 1 - invR;
    uR = nextR;
    if (pivotR < least) least = pivotR;
    if (wasMoved) energySlope += residualR * change[kR];
    if (k === middle) continue;

    const next = volts[k + 1];
    const residual = u - next - flow + draw[k];
    const pivot = pull + 1 + grip[k];
    const inv = 1 / pivot;
    const own = carried - residual;
    inverse[k] = inv;
    carry[k] = own;
    carried = own * inv;
    descent += own * carried;
    corner += reach * reach * inv;
    reach = reach > negligible ? reach * inv : 0;
    flow = u - next;
    pull = 1 - inv;
    u = next;
    if (pivot < least) least = pivot;
    if (wasMoved) energySlope += residual * change[k];
  }

  // The middle pixel, into which both sides flow.
  const residual = draw[middle] - flow - flowR;
  const pivot = pull + pullR + grip[middle];
  if (!(Math.min(least, pivot) > leastPivot)) return eliminate(chain, start, end, scratch, true, wasMoved);
  const own = carried + carriedR - residual;
  const invOwn = 1 / pivot;
  inverse[middle] = invOwn;
  carry[middle] = own;
  seen.descent = descent + own * own * invOwn;
  seen.startSlope = (1 - (corner + reach * reach * invOwn) / first) / first;
  seen.crossSlope = (reach * reachR * invOwn) / first / after;
  seen.endSlope = (1 - (cornerR + reachR * reachR * invOwn) / after) / after;
  return wasMoved ? energySlope + residual * change[middle] : 0;
}

/** Below this a volt at the joint is not felt any more; smaller numbers would only be slow. */
const negligible = 1e-150;
const leastPivot = 1e-13;

/** Back half, from the middle to both ends: applies the Newton step. Returns its largest change, V. */
function substitute(chain: Chain, scratch: ChainScratch): number {
  const { first, last } = chain;
  const { inverse, change, carry } = scratch;
  const volts = chain.volts!;
  const middle = (first + last) >> 1;
  let step = inverse[middle] * carry[middle];
  let stepR = step;
  change[middle] = step;
  volts[middle] += step;
  let largest = Math.abs(step);
  for (let i = 1; i <= last - middle; i++) {
    const kR = middle + i;
    stepR = inverse[kR] * (carry[kR] + stepR);
    change[kR] = stepR;
    volts[kR] += stepR;
    largest = Math.max(largest, Math.abs(stepR));
    const k = middle - i;
    if (k < first) continue;
    step = inverse[k] * (carry[k] + step);
    change[k] = step;
    volts[k] += step;
    largest = Math.max(largest, Math.abs(step));
  }
  return largest;
}
