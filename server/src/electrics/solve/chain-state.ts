/** What is known of a stretch while it is solved between its two ends (see `chain.ts`). */
import type { LoadCurve } from './load-curve.ts';
import { curveAmps, curveSlope } from './load-curve.ts';

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
  /** u at the nodes of a rough solution (see `chain-rough.ts`), of which no pixel is known yet; else null. */
  rough: Float64Array | null;

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
  /** Set where no way but the surest will do: every pixel at once, and each step searched along. */
  isPlain: boolean;
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
    rough: null,
    startAmps: NaN,
    endAmps: NaN,
    startSlope: NaN,
    crossSlope: NaN,
    endSlope: NaN,
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
    isPlain: false,
    work: 0,
    mostWork: Infinity,
    room: new Float64Array(0),
    roomUsed: 0,
  };
}

/** The quadratic with u'' = bend between u = left at 0 and u = right at m, at k. */
export function sag(left: number, right: number, m: number, k: number, bend: number): number {
  return left + ((right - left) * k) / m - (bend * k * (m - k)) / 2;
}

/** Marching is exact to rounding times the growth of the homogeneous solution, and a step needs few of its digits. */
export const mostGrowth = 1e8;

const roomLength = 1 << 16;

/** Room for the volts of a chain. */
export function takeRoom(scratch: ChainScratch, length: number): Float64Array {
  if (length > roomLength) return new Float64Array(length);
  if (scratch.roomUsed + length > scratch.room.length) {
    scratch.room = new Float64Array(roomLength);
    scratch.roomUsed = 0;
  }
  scratch.roomUsed += length;
  return scratch.room.subarray(scratch.roomUsed - length, scratch.roomUsed);
}

/** Stores what the ends see; pixel N, which sits on the end joint, takes its share there. */
export function setEnds(
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

/** Slopes of the end currents, times r. */
export interface EndSlopes {
  readonly startSlope: number;
  readonly crossSlope: number;
  readonly endSlope: number;
}

/** Stores what the ends see of the pixels first .. last and of those in regulation beside them. */
export function setPixelEnds(chain: Chain, start: number, end: number, slopes: EndSlopes, rising: boolean): void {
  const { first, last, count, ohms, curve } = chain;
  const volts = chain.volts!;
  const bend = ohms * curve.fullAmps;
  const after = count - last;
  const startFlow = (start - volts[first]) / first + (bend * (first - 1)) / 2;
  const endFlow = (volts[last] - end) / after - (bend * (after - 1)) / 2;
  const { startSlope, crossSlope, endSlope } = slopes;
  setEnds(chain, end, startFlow / ohms, endFlow / ohms, startSlope / ohms, crossSlope / ohms, endSlope / ohms, rising);
}
