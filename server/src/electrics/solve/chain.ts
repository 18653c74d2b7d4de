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
  readonly excess: Float64Array;
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
    excess: new Float64Array(length),
  };
}

/**
 * Solves the chain for the voltages at its two joints and sets its currents and slopes.
 * With `rising`, slopes of falling loads (converters) count as zero, so that the slopes describe a positive
 * definite network even where the true one is not.
 */
export function solveChain(chain: Chain, start: number, end: number, scratch: ChainScratch, rising: boolean): void {
  const { count, ohms, curve } = chain;
  dropRegulated(chain);
  fitInterval(chain, start, end);
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
function sag(left: number, right: number, m: number, k: number, bend: number): number {
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
function fitInterval(chain: Chain, start: number, end: number): boolean {
  const { count, curve } = chain;
  const knee = curve.regulatedVolts;
  if (knee === -Infinity || count < 2) return false;
  if (chain.first > chain.last) return openInterval(chain, start, end);
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
function openInterval(chain: Chain, start: number, end: number): boolean {
  const { count, curve } = chain;
  const knee = curve.regulatedVolts;
  const isNeverFlat = knee === Infinity;
  const bend = isNeverFlat ? 0 : chain.ohms * curve.fullAmps;
  const first = isNeverFlat ? 1 : firstBelow(start, end, count, bend, knee);
  const last = isNeverFlat ? count - 1 : count - firstBelow(end, start, count, bend, knee);
  if (first > last) return false;
  chain.first = first;
  chain.last = last;
  chain.volts ??= new Float64Array(count);
  for (let k = first; k <= last; k++) chain.volts[k] = startingVolts(chain, start, end, count, k);
  return true;
}

/**
 * Where Newton's method starts for a pixel of a span: not above the straight line (the pixels draw current), not below
 * the quadratic (they draw no more than that), and between the two in the middle of the knees.
 */
function startingVolts(chain: Chain, left: number, right: number, m: number, k: number): number {
  const { curve, ohms } = chain;
  const line = left + ((right - left) * k) / m;
  if (curve.regulatedVolts === Infinity) return line;
  return Math.min(line, Math.max(sag(left, right, m, k, ohms * curve.fullAmps), curve.middleVolts));
}

const mostSweeps = 80;
/** A Newton step below this is the last one: the next would be of the order of its square. */
const settledVolts = 1e-7;

/** Newton's method on the pixels first .. last; a step that overshoots is cut back along its own direction. */
function settle(chain: Chain, start: number, end: number, scratch: ChainScratch, rising: boolean): void {
  const { change } = scratch;
  const volts = chain.volts!;
  let descent = 0;
  let step = 0;
  chain.isSettled = false;
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    const overshoot = eliminate(chain, start, end, scratch, rising, step > 0);
    if (step > 1e-6 && overshoot > 0.5 * descent) {
      // The energy's slope along the step, -descent at its foot, has turned positive: go back to where it was zero.
      const back = step * Math.min(0.9, overshoot / (overshoot + descent));
      for (let k = chain.first; k <= chain.last; k++) volts[k] -= back * change[k];
      step -= back;
      continue;
    }
    const { largest, slope } = substitute(chain, scratch);
    descent = slope;
    step = 1;
    if (largest <= settledVolts) {
      chain.isSettled = true;
      break;
    }
    if (fitInterval(chain, start, end)) step = 0;
  }
  const { first, last, count, ohms, curve } = chain;
  const bend = ohms * curve.fullAmps;
  const after = count - last;
  const startFlow = (start - volts[first]) / first + (bend * (first - 1)) / 2;
  const endFlow = (volts[last] - end) / after - (bend * (after - 1)) / 2;
  const { startSlope, crossSlope, endSlope } = corner;
  setEnds(chain, end, startFlow / ohms, endFlow / ohms, startSlope / ohms, crossSlope / ohms, endSlope / ohms, rising);
}

/** Where `eliminate` leaves the slopes of the end currents, times r. */
const corner = { startSlope: 0, crossSlope: 0, endSlope: 0 };

/**
 * Forward half of one Newton step at the present volts, in units of 1 / r: residual, pivots and the slopes seen from
 * the ends (corners of the inverse matrix). Returns residual . change, the slope of the energy along the last step.
 * A pivot that is not positive means that falling loads make the chain unstable there: their slopes are then left out.
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
  const { from, terms } = curve;
  const { inverse, change, excess } = scratch;
  const volts = chain.volts!;
  const bend = ohms * curve.fullAmps;
  const after = count - last;
  const onlyRising = rising || curve.isMonotone;
  const lastPiece = from.length - 1;

  let piece = lastPiece;
  let u = volts[first];
  let flow = (start - u) / first - (bend * (first - 1)) / 2;
  let carried = 0;
  let inv = 0;
  let reach = 1;
  let corner11 = 0;
  let energySlope = 0;
  for (let k = first; k <= last; k++) {
    const next = k < last ? volts[k + 1] : end;
    const nextLink = k < last ? 1 : 1 / after;
    const nextFlow = (u - next) * nextLink + (k < last ? 0 : (bend * (after - 1)) / 2);

    let amps = 0;
    let slope = 0;
    if (u >= 0) {
      while (piece > 0 && u < from[piece]) piece--;
      while (piece < lastPiece && u >= from[piece + 1]) piece++;
      const x = u - from[piece];
      const t = piece * pieceSize;
      amps = terms[t] + x * (terms[t + 1] + x * (terms[t + 2] + x * terms[t + 3]));
      slope = terms[t + 1] + x * (2 * terms[t + 2] + x * 3 * terms[t + 3]);
      const watts = terms[t + 4];
      if (watts > 0) {
        amps += watts / u;
        slope -= watts / (u * u);
        if (onlyRising && slope < 0) slope = 0;
      }
    }
    const residual = nextFlow - flow + ohms * amps;
    if (wasMoved) energySlope += residual * change[k];

    const pivot = (k === first ? 1 / first : 1 - inv) + nextLink + ohms * slope;
    if (!(pivot > 1e-13)) return eliminate(chain, start, end, scratch, true, wasMoved);
    carried = carried * inv - residual;
    inv = 1 / pivot;
    inverse[k] = inv;
    excess[k] = carried;
    corner11 += reach * reach * inv;
    reach = reach > 1e-150 ? reach * inv : 0;

    u = next;
    flow = nextFlow;
  }
  corner.startSlope = (1 - corner11 / first) / first;
  corner.crossSlope = reach / first / after;
  corner.endSlope = (1 - inv / after) / after;
  return energySlope;
}

/** Back half: applies the Newton step. Returns its largest change, V, and the energy's slope at its foot, negated. */
function substitute(chain: Chain, scratch: ChainScratch): { largest: number; slope: number } {
  const { first, last } = chain;
  const { inverse, change, excess } = scratch;
  const volts = chain.volts!;
  let step = 0;
  let largest = 0;
  let slope = 0;
  for (let k = last; k >= first; k--) {
    slope += excess[k] * excess[k] * inverse[k];
    step = inverse[k] * (excess[k] + step);
    change[k] = step;
    volts[k] += step;
    const size = Math.abs(step);
    if (size > largest) largest = size;
  }
  return { largest, slope };
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
