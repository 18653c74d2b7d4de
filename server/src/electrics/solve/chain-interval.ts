/** Which pixels of a chain may be below the knee, and where Newton's method starts for them. */
import { type Chain, type ChainScratch, sag, takeRoom } from './chain-state.ts';
import { curveAmps } from './load-curve.ts';

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

/** Whether no pixel is below the knee: none is even when all are taken to draw their full current. */
export function isRegulated({ count, ohms, curve }: Chain, start: number, end: number): boolean {
  const { regulatedVolts, fullAmps } = curve;
  if (regulatedVolts === -Infinity || count < 2) return true;
  return firstBelow(start, end, count, ohms * fullAmps, regulatedVolts) === count;
}

/** Leaves out the outer pixels that have risen above the knee: the quadratic holds there again. */
export function dropRegulated(chain: Chain): void {
  const { curve, volts } = chain;
  while (chain.first <= chain.last && volts![chain.first] >= curve.regulatedVolts) chain.first++;
  while (chain.first <= chain.last && volts![chain.last] >= curve.regulatedVolts) chain.last--;
}

/** Makes first .. last cover every pixel that may be below the knee, given the ends and the pixels known so far. */
export function fitInterval(chain: Chain, start: number, end: number, scratch: ChainScratch): boolean {
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
export function startingVolts(chain: Chain, left: number, right: number, m: number, k: number): number {
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
