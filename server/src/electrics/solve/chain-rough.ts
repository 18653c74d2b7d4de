/**
 * A chain solved at a few places only, while its ends are still on the move.
 *
 * The pixels' volts are samples of a smooth curve, and what Kirchhoff's law says of neighbours one pitch apart it says
 * of places h pitches apart as well. With f = r I(u), from u[k-1] - 2 u[k] + u[k+1] = f[k] follows, h whole or not,
 *
 *     u[k-h] - 2 u[k] + u[k+h] = h^2 f[k] + (h^2 - 1) / 12 (f[k-h] - 2 f[k] + f[k+h]) + O(h^6),
 *
 * which is Numerov's rule (B. V. Noumerov, Mon. Not. R. Astron. Soc. 84, 1924, 592-602) less what a pitch of one leaves
 * out. So a dozen nodes tell the currents and slopes at the ends of a hundred pixels to some millionths of a volt.
 * They are only ever the start of the true solution, in which each pixel obeys its own equation.
 */
import { drawAll } from './chain-draw.ts';
import { isRegulated, startingVolts } from './chain-interval.ts';
import { type Chain, type ChainScratch, mostGrowth, setEnds, takeRoom } from './chain-state.ts';

/** Rough volts are not good enough for a smaller tolerance than this, V. */
export const roughVolts = 5e-4;

const leastNodes = 5;
/** Pitches from node to node: fewer save nothing, more are not worth their error. */
const leastPitches = 4;
const mostPitches = 8;
/** The largest r I'(u) h^2: the rule's relative error is about its square over 240. */
const mostGrip = 0.03;
const mostSweeps = 12;

/**
 * Solves the chain roughly for the voltages at its two joints and sets its currents and slopes; it is not settled then.
 * False where that is not possible or not worth while; nothing rough is known of the chain then.
 */
export function solveRough(chain: Chain, start: number, end: number, scratch: ChainScratch): boolean {
  const { count, curve, ohms } = chain;
  if (!curve.isMonotone || chain.first <= chain.last) return false;
  const pitches = Math.min(mostPitches, Math.sqrt(mostGrip / (ohms * curve.steepest)));
  const n = Math.ceil(count / pitches);
  if (n < leastNodes || !(count >= leastPitches * n) || isRegulated(chain, start, end)) {
    chain.rough = null;
    return false;
  }
  const volts = placeNodes(chain, n, start, end, scratch);
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    const largest = sweepNodes(chain, volts, n, scratch);
    scratch.work += n;
    if (!(largest < Infinity)) break;
    if (largest > Math.max(scratch.tolerance, roughVolts)) continue;
    setRoughEnds(chain, volts, n, scratch);
    chain.isSettled = false;
    return true;
  }
  chain.rough = null;
  return false;
}

/** The nodes' volts to start from: those before, shifted with the ends. */
function placeNodes(chain: Chain, n: number, start: number, end: number, scratch: ChainScratch): Float64Array {
  const { count } = chain;
  let volts = chain.rough;
  if (volts === null) {
    volts = takeRoom(scratch, n + 1);
    for (let i = 1; i < n; i++) volts[i] = startingVolts(chain, start, end, count, (i * count) / n);
  } else {
    const atStart = start - volts[0];
    const atEnd = end - volts[n];
    for (let i = 1; i < n; i++) volts[i] += atStart + ((atEnd - atStart) * i) / n;
  }
  volts[0] = start;
  volts[n] = end;
  chain.rough = volts;
  return volts;
}

/** Where `sweepNodes` leaves how the first and last two inner nodes follow a volt at the start, and at the end. */
const follow = { start1: NaN, start2: NaN, end1: NaN, end2: NaN, far1: NaN, far2: NaN };

/**
 * One step of Newton's method. In v = u - (h^2 - 1) / 12 f the rule is -v[i-1] + 2 v[i] - v[i+1] + h^2 f[i] = 0, which
 * is solved by marching from the start: a particular solution and one of the homogeneous equation, of which so much
 * is added that the end stays where it is. Returns the largest change, V; Infinity where marching loses its digits.
 */
function sweepNodes(chain: Chain, volts: Float64Array, n: number, scratch: ChainScratch): number {
  const { inverse: toVolts, change: own, carry: home, draw, grip } = scratch;
  const h = chain.count / n;
  const square = h * h;
  const weight = (square - 1) / 12;
  drawAll(chain, volts, 0, n, scratch, false);
  // Particular, homogeneous from 0 at the start, homogeneous from 1 there; the nodes' and the one before.
  let z = 0;
  let zBefore = 0;
  let y = 1;
  let yBefore = 0;
  let x = 0;
  let xBefore = 1 - weight * grip[0];
  let v = volts[1] - weight * draw[1];
  let vBefore = volts[0] - weight * draw[0];
  let x2 = NaN;
  let y2 = NaN;
  let xLast = NaN;
  for (let i = 1; i < n; i++) {
    const share = 1 / (1 - weight * grip[i]);
    const pull = 2 + square * grip[i] * share;
    const vNext = volts[i + 1] - weight * draw[i + 1];
    const residual = v - vBefore + (v - vNext) + square * draw[i];
    toVolts[i] = share;
    own[i] = z;
    home[i] = y;
    const zNext = pull * z - zBefore + residual;
    const yNext = pull * y - yBefore;
    const xNext = pull * x - xBefore;
    xLast = xBefore;
    zBefore = z;
    z = zNext;
    yBefore = y;
    y = yNext;
    xBefore = x;
    x = xNext;
    vBefore = v;
    v = vNext;
    if (i === 1) {
      x2 = x;
      y2 = y;
    }
  }
  if (!(y < mostGrowth)) return Infinity;
  const c = -z / y;
  let largest = 0;
  for (let i = 1; i < n; i++) {
    const step = toVolts[i] * (own[i] + c * home[i]);
    volts[i] += step;
    draw[i] += grip[i] * step;
    largest = Math.max(largest, Math.abs(step));
  }
  const atEnd = 1 - weight * grip[n];
  const back = -x / y;
  follow.start1 = toVolts[1] * back;
  follow.start2 = toVolts[2] * (x2 + back * y2);
  follow.far1 = toVolts[n - 1] * (xBefore + back * yBefore);
  follow.far2 = toVolts[n - 2] * (xLast + back * home[n - 2]);
  follow.end1 = (toVolts[n - 1] * yBefore * atEnd) / y;
  follow.end2 = (toVolts[n - 2] * home[n - 2] * atEnd) / y;
  return largest;
}

/**
 * The flows and slopes at the ends. From node 0 to node 1 the flow falls by the sum of (1 - j / h) f[j] over the pixels
 * between, which the parabola through the first three f gives; likewise at the other end.
 */
function setRoughEnds(chain: Chain, volts: Float64Array, n: number, scratch: ChainScratch): void {
  const { draw, grip } = scratch;
  const { ohms, count } = chain;
  const h = count / n;
  const w = (h * h - 1) / (24 * h);
  const w0 = (h - 1) / 2 - 5 * w;
  const w1 = 6 * w;
  const startFlow = (volts[0] - volts[1]) / h + w0 * draw[0] + w1 * draw[1] - w * draw[2];
  const endFlow = (volts[n - 1] - volts[n]) / h - w0 * draw[n] - w1 * draw[n - 1] + w * draw[n - 2];
  const { start1, start2, end1, end2, far1, far2 } = follow;
  const near1 = 1 / h - w1 * grip[n - 1];
  const near2 = w * grip[n - 2];
  const startSlope = 1 / h + w0 * grip[0] - start1 * (1 / h - w1 * grip[1]) - start2 * w * grip[2];
  const crossSlope = far1 * near1 + far2 * near2;
  const endSlope = 1 / h + w0 * grip[n] - end1 * near1 - end2 * near2;
  setEnds(
    chain,
    volts[n],
    startFlow / ohms,
    endFlow / ohms,
    startSlope / ohms,
    crossSlope / ohms,
    endSlope / ohms,
    false,
  );
}

/**
 * Turns a rough solution into a start for the pixels that may be below the knee: between two nodes, the cubic that has
 * Kirchhoff's law right at both.
 */
export function spreadRough(chain: Chain, scratch: ChainScratch): void {
  const { count, curve, rough } = chain;
  if (rough === null) return;
  chain.rough = null;
  const n = rough.length - 1;
  const h = count / n;
  let from = 1;
  while (from < n && rough[from] >= curve.regulatedVolts) from++;
  if (from === n) return;
  let to = n - 1;
  while (rough[to] >= curve.regulatedVolts) to--;
  drawAll(chain, rough, from - 1, to + 1, scratch, false);
  const { draw } = scratch;
  chain.volts ??= takeRoom(scratch, count);
  const { volts } = chain;
  chain.first = Math.max(1, Math.ceil((from - 1) * h));
  let k = chain.first;
  for (let i = from - 1; i <= to; i++) {
    const here = rough[i];
    const f = draw[i];
    const bend = (draw[i + 1] - f) / h;
    const slope = (rough[i + 1] - here) / h - (h * (2 * f + draw[i + 1])) / 6;
    const until = Math.min(count - 1, Math.floor((i + 1) * h));
    for (; k <= until; k++) {
      const x = k - i * h;
      volts[k] = here + x * (slope + x * (f / 2 + (x * bend) / 6));
    }
  }
  chain.last = k - 1;
}
