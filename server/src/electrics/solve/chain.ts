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
 * Only the pixels `first .. last` below the knee are unknowns; they are found by Newton's method, each step one
 * tridiagonal elimination. As I >= 0, u is convex, and those pixels are neighbours.
 */
import type { LoadCurve } from './load-curve.ts';
import { curveAmps, curveSlope, pieceSize } from './load-curve.ts';

export interface Chain {
  readonly count: number;
  /** r, ohm per pitch of both rails together. */
  readonly ohms: number;
  readonly curve: LoadCurve;
  /** The pixels solved for one by one; none when first > last. */
  first: number;
  last: number;
  /** u of the pixels first .. last, by pixel number; null until needed. */
  volts: Float64Array | null;

  /** Loop current (u[0] - u[1]) / r into the start, and what is left of it after pixel N, A. */
  startAmps: number;
  endAmps: number;
  /** d startAmps / d u[0], -d startAmps / d u[N] = d endAmps / d u[0], and -d endAmps / d u[N], S. */
  startSlope: number;
  crossSlope: number;
  endSlope: number;
  /** False when the pixels did not settle for the end voltages last given. */
  isSettled: boolean;
}

/** Arrays shared by all chains of a network, as long as the longest of them. */
export interface ChainScratch {
  readonly inverse: Float64Array;
  readonly change: Float64Array;
  readonly carry: Float64Array;
  readonly draw: Float64Array;
  readonly grip: Float64Array;
  /** Pixels may be this far from settled, V: while the ends are still on the move, exact pixels are wasted work. */
  tolerance: number;
  /** Pixels visited so far for this solution, and how many may be before it is given up. */
  work: number;
  mostWork: number;
  /** Room for the volts of chains that open: one large array is cheaper to keep than thousands of small ones. */
  room: Float64Array;
  roomUsed: number;
}

export function newChain(count: number, ohms: number, curve: LoadCurve): Chain {
  return {
    count,
    ohms,
    curve,
    first: 1,
    last: 0,
    volts: null,
    startAmps: 0,
    endAmps: 0,
    startSlope: 0,
    crossSlope: 0,
    endSlope: 0,
    isSettled: true,
  };
}

export function newChainScratch(longest: number): ChainScratch {
  const length = longest + 1;
  return {
    inverse: new Float64Array(length),
    change: new Float64Array(length),
    carry: new Float64Array(length),
    draw: new Float64Array(length),
    grip: new Float64Array(length),
    tolerance: 0,
    work: 0,
    mostWork: Infinity,
    room: new Float64Array(0),
    roomUsed: 0,
  };
}

const roomLength = 1 << 16;

function takeRoom(scratch: ChainScratch, length: number): Float64Array {
  if (length > roomLength) return new Float64Array(length);
  if (scratch.roomUsed + length > scratch.room.length) {
    scratch.room = new Float64Array(roomLength);
    scratch.roomUsed = 0;
  }
  scratch.roomUsed += length;
  return scratch.room.subarray(scratch.roomUsed - length, scratch.roomUsed);
}

/**
 * Solves the chain for the voltages at its two joints and sets its currents and slopes.
 * With `rising`, slopes of falling loads (converters) count as zero, so that the slopes describe a positive
 * definite network even where the true one is not.
 */
export function solveChain(chain: Chain, start: number, end: number, scratch: ChainScratch, rising: boolean): void {
  const { count, ohms, curve } = chain;
  dropRegulated(chain);
  fitInterval(chain, start, end, scratch);
  if (chain.first > chain.last) {
    const through = (start - end) / (count * ohms);
    const half = (curve.fullAmps * (count - 1)) / 2;
    const slope = 1 / (count * ohms);
    setEnds(chain, end, through + half, through - half, slope, slope, slope, rising);
    chain.isSettled = true;
  } else {
    settle(chain, start, end, scratch, rising);
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

/** The quadratic with u'' = bend between u = left at 0 and u = right at m, at k. */
export function sag(left: number, right: number, m: number, k: number, bend: number): number {
  return left + ((right - left) * k) / m - (bend * k * (m - k)) / 2;
}

/**
 * The first whole k in 1 .. m - 1 at which that quadratic may be below the knee; m when it is nowhere below.
 * Errs by at most one pixel, towards more.
 */
function firstBelow(left: number, right: number, m: number, bend: number, knee: number): number {
  const above = left - knee;
  if (above < 0) return 1;
  const steepness = (right - left) / m - (bend * m) / 2;
  if (steepness >= 0) return m;
  const discriminant = steepness * steepness - 2 * bend * above;
  if (discriminant < 0) return m;
  const root = (2 * above) / (Math.sqrt(discriminant) - steepness);
  return Math.min(m, Math.max(1, Math.floor(root)));
}

/** Leaves out the outer pixels that have risen above the knee: the quadratic holds there again. */
function dropRegulated(chain: Chain): void {
  const { curve, volts } = chain;
  while (chain.first <= chain.last && volts![chain.first] >= curve.regulatedVolts) chain.first++;
  while (chain.first <= chain.last && volts![chain.last] >= curve.regulatedVolts) chain.last--;
}

/** Makes first .. last cover every pixel that may be below the knee, given the ends and the pixels known so far. */
function fitInterval(chain: Chain, start: number, end: number, scratch: ChainScratch): boolean {
  const { count, curve } = chain;
  const knee = curve.regulatedVolts;
  if (knee === -Infinity || count < 2) return false;
  if (chain.first > chain.last) return openInterval(chain, start, end, scratch);
  const bend = chain.ohms * curve.fullAmps;
  const volts = chain.volts!;
  const oldFirst = chain.first;
  const oldLast = chain.last;
  if (oldFirst > 1) {
    chain.first = firstBelow(start, volts[oldFirst], oldFirst, bend, knee);
    for (let k = chain.first; k < oldFirst; k++) {
      volts[k] = startingVolts(chain, start, volts[oldFirst], oldFirst, k);
    }
  }
  if (oldLast < count - 1) {
    const m = count - oldLast;
    chain.last = count - firstBelow(end, volts[oldLast], m, bend, knee);
    for (let k = oldLast + 1; k <= chain.last; k++) {
      volts[k] = startingVolts(chain, volts[oldLast], end, m, k - oldLast);
    }
  }
  return chain.first < oldFirst || chain.last > oldLast;
}

/**
 * The first time: less current in the knee means higher volts, so the pixels below the knee when all are taken to be
 * in regulation include all that really are.
 */
function openInterval(chain: Chain, start: number, end: number, scratch: ChainScratch): boolean {
  const { count, curve } = chain;
  const knee = curve.regulatedVolts;
  const isNeverFlat = knee === Infinity;
  const bend = isNeverFlat ? 0 : chain.ohms * curve.fullAmps;
  const first = isNeverFlat ? 1 : firstBelow(start, end, count, bend, knee);
  const last = isNeverFlat ? count - 1 : count - firstBelow(end, start, count, bend, knee);
  if (first > last) return false;
  chain.first = first;
  chain.last = last;
  chain.volts ??= takeRoom(scratch, count);
  for (let k = first; k <= last; k++) chain.volts[k] = startingVolts(chain, start, end, count, k);
  return true;
}

/**
 * Where Newton's method starts for a pixel of a span: not above the straight line (the pixels draw current), not below
 * the quadratic (they draw no more than that), and between the two in the middle of the knees, or, on a span so long
 * that most of it must be dark, where the current has all but ceased.
 */
function startingVolts(chain: Chain, left: number, right: number, m: number, k: number): number {
  const { curve, ohms } = chain;
  const line = left + ((right - left) * k) / m;
  const highest = Math.max(left, right, 0);
  if (curve.regulatedVolts === Infinity) {
    const isDark = (ohms * curveAmps(curve, highest) * m * m) / 8 > 2 * highest;
    return isDark ? Math.min(line, curve.middleVolts) : line;
  }
  const bend = ohms * curve.fullAmps;
  const isDark = (bend * m * m) / 8 > 2 * highest;
  return Math.min(line, Math.max(sag(left, right, m, k, bend), isDark ? 0 : curve.middleVolts));
}

const mostSweeps = 80;
/** A Newton step below this is the last one: the next would be of the order of its square. */
const settledVolts = 1e-8;

/** Newton's method on the pixels first .. last; a step that overshoots is cut back along its own direction. */
function settle(chain: Chain, start: number, end: number, scratch: ChainScratch, rising: boolean): void {
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
  const { first, last, count, ohms, curve } = chain;
  const bend = ohms * curve.fullAmps;
  const after = count - last;
  const startFlow = (start - volts[first]) / first + (bend * (first - 1)) / 2;
  const endFlow = (volts[last] - end) / after - (bend * (after - 1)) / 2;
  const { startSlope, crossSlope, endSlope } = seen;
  setEnds(chain, end, startFlow / ohms, endFlow / ohms, startSlope / ohms, crossSlope / ohms, endSlope / ohms, rising);
}

/** Where `eliminate` leaves the slopes of the end currents, times r, and the energy's slope at the step's foot. */
const seen = { startSlope: 0, crossSlope: 0, endSlope: 0, descent: 0 };

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
  let inv = 0;
  let reach = 1;
  let corner = 0;
  let uR = volts[last];
  let flowR = (end - uR) / after - (bend * (after - 1)) / 2;
  let pullR = 1 / after;
  let carriedR = 0;
  let invR = 0;
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
    carriedR = carriedR * invR - residualR;
    invR = 1 / pivotR;
    inverse[kR] = invR;
    carry[kR] = carriedR;
    descent += carriedR * carriedR * invR;
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
    carried = carried * inv - residual;
    inv = 1 / pivot;
    inverse[k] = inv;
    carry[k] = carried;
    descent += carried * carried * inv;
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
  const own = carried * inv + carriedR * invR - residual;
  const invOwn = 1 / pivot;
  inverse[middle] = invOwn;
  carry[middle] = own;
  seen.descent = descent + own * own * invOwn;
  seen.startSlope = (1 - (corner + reach * reach * invOwn) / first) / first;
  seen.crossSlope = (reach * reachR * invOwn) / first / after;
  seen.endSlope = (1 - (cornerR + reachR * reachR * invOwn) / after) / after;
  return wasMoved ? energySlope + residual * change[middle] : 0;
}

/** r times the current of each pixel first .. last into `draw`, and r times its slope into `grip`, V. */
export function drawPixels(chain: Chain, scratch: ChainScratch, rising: boolean): void {
  const { ohms, first, last, curve } = chain;
  const { from, terms } = curve;
  const { draw, grip } = scratch;
  const volts = chain.volts!;
  const top = from.length - 1;
  // Neighbours mostly share a piece of the curve: its numbers stay at hand until a pixel leaves it.
  let j = top;
  let low = Infinity;
  let high = -Infinity;
  let c0 = 0;
  let c1 = 0;
  let c2 = 0;
  let c3 = 0;
  let watts = 0;
  for (let k = first; k <= last; k++) {
    const u = volts[k];
    if (!(u >= low && u < high)) {
      if (!(u >= 0)) {
        draw[k] = 0;
        grip[k] = 0;
        continue;
      }
      while (u < from[j]) j--;
      while (j < top && u >= from[j + 1]) j++;
      low = from[j];
      high = j < top ? from[j + 1] : Infinity;
      const t = j * pieceSize;
      c0 = ohms * terms[t];
      c1 = ohms * terms[t + 1];
      c2 = ohms * terms[t + 2];
      c3 = ohms * terms[t + 3];
      watts = ohms * terms[t + 4];
    }
    const x = u - low;
    let amps = c0 + x * (c1 + x * (c2 + x * c3));
    let slope = c1 + x * (2 * c2 + x * 3 * c3);
    if (watts > 0) {
      amps += watts / u;
      slope -= watts / (u * u);
      if (rising && slope < 0) slope = 0;
    }
    draw[k] = amps;
    grip[k] = slope;
  }
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

/** Stores what the ends see; pixel N, which sits on the end joint, takes its share there. */
function setEnds(
  chain: Chain,
  end: number,
  startAmps: number,
  lastAmps: number,
  startSlope: number,
  crossSlope: number,
  endSlope: number,
  rising: boolean,
): void {
  const slope = curveSlope(chain.curve, end);
  chain.startAmps = startAmps;
  chain.endAmps = lastAmps - curveAmps(chain.curve, end);
  chain.startSlope = startSlope;
  chain.crossSlope = crossSlope;
  chain.endSlope = endSlope + (rising && slope < 0 ? 0 : slope);
}
