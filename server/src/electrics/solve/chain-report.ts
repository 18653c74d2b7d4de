/** What a solved chain amounts to: least voltage, power drawn, heat, and how well its pixels obey Kirchhoff's law. */
import { drawPixels } from './chain-draw.ts';
import type { Chain, ChainScratch } from './chain-state.ts';
import { sag } from './chain-state.ts';
import { curveAmps, type LoadCurve } from './load-curve.ts';

export interface ChainReport {
  leastVolts: number;
  /** 1 .. N; the first of equals. */
  leastPixel: number;
  /** Sum of the pixels' currents, A, and of their powers, W. */
  amps: number;
  loadWatts: number;
  /** Heat of the loop current in both rails, W. */
  heatWatts: number;
  /** Largest excess current at any pixel but the last (which is a joint), A. */
  worstExcess: number;
}

/** An empty report, to be filled over and over. */
export function newChainReport(): ChainReport {
  return { leastVolts: NaN, leastPixel: NaN, amps: NaN, loadWatts: NaN, heatWatts: NaN, worstExcess: NaN };
}

/** Fills the report; what the pixels draw is left in the scratch. */
export function reportChain(
  report: ChainReport,
  chain: Chain,
  start: number,
  end: number,
  scratch: ChainScratch,
): void {
  const { count, ohms, curve, first, last, volts } = chain;
  const { fullAmps } = curve;
  if (first > last || volts === null) {
    reportRegulated(report, count, ohms, curve, start, end);
    return;
  }
  reportLast(report, count, curve, end);
  addSpan(report, ohms, fullAmps, 0, start, volts[first], first);
  addPixels(report, chain, start, end, scratch);
  addSpan(report, ohms, fullAmps, last, volts[last], end, count - last);
}

/** The same for a chain of which no pixel but perhaps the last is below the knee. */
export function reportRegulated(
  report: ChainReport,
  count: number,
  ohms: number,
  curve: LoadCurve,
  start: number,
  end: number,
): void {
  reportLast(report, count, curve, end);
  addSpan(report, ohms, curve.fullAmps, 0, start, end, count);
}

/** The last pixel, which is a joint, alone. */
function reportLast(report: ChainReport, count: number, curve: LoadCurve, end: number): void {
  report.leastVolts = end;
  report.leastPixel = count;
  report.amps = curveAmps(curve, end);
  report.loadWatts = end * report.amps;
  report.heatWatts = 0;
  report.worstExcess = 0;
}

/**
 * Adds a span in regulation: the m - 1 pixels between pixel `from` at `left` volts and the one m pitches on at
 * `right` volts, and the heat of those pitches.
 */
function addSpan(
  report: ChainReport,
  ohms: number,
  amps: number,
  from: number,
  left: number,
  right: number,
  m: number,
): void {
  const bend = ohms * amps;
  const pixels = m - 1;
  report.amps += pixels * amps;
  // Sum of k (m - k) over k = 1 .. m - 1 is (m - 1) m (m + 1) / 6.
  report.loadWatts += amps * ((pixels * (left + right)) / 2 - (bend * pixels * m * (m + 1)) / 12);
  // The pitches' currents are m equally spaced numbers about their mean, `amps` apart.
  const mean = (left - right) / (m * ohms);
  report.heatWatts += ohms * (m * mean * mean + (amps * amps * m * (m * m - 1)) / 12);

  // The bottom of the quadratic, or of the straight line where no current flows.
  const bottom = bend > 0 ? m / 2 + (left - right) / (m * bend) : left <= right ? 1 : m;
  const near = Math.max(Math.floor(bottom), 1);
  for (let k = near; k <= Math.min(near + 1, m - 1); k++) lower(report, sag(left, right, m, k, bend), from + k);
}

function lower(report: ChainReport, volts: number, pixel: number): void {
  if (volts > report.leastVolts || (volts === report.leastVolts && pixel > report.leastPixel)) return;
  report.leastVolts = volts;
  report.leastPixel = pixel;
}

/** Adds the pixels first .. last, the heat of the pitches between them, and their excess currents. */
function addPixels(report: ChainReport, chain: Chain, start: number, end: number, scratch: ChainScratch): void {
  const { count, ohms, curve, first, last } = chain;
  const volts = chain.volts!;
  const after = count - last;
  const bend = ohms * curve.fullAmps;
  drawPixels(chain, scratch, false);
  const { draw } = scratch;
  // Currents and powers times r.
  let amps = 0;
  let watts = 0;
  let heat = 0;
  let worst = 0;
  let least = Infinity;
  let at = first;
  let u = volts[first];
  // The currents into a pixel from its left and out of it to its right, times r.
  let flow = (start - u) / first - (bend * (first - 1)) / 2;
  for (let k = first; k <= last; k++) {
    const own = draw[k];
    const next = k < last ? volts[k + 1] : u;
    const onward = k < last ? u - next : (u - end) / after + (bend * (after - 1)) / 2;
    if (k < last) heat += onward * onward;
    amps += own;
    watts += u * own;
    const excess = Math.abs(own - flow + onward);
    if (excess > worst) worst = excess;
    if (u < least) {
      least = u;
      at = k;
    }
    flow = onward;
    u = next;
  }
  report.amps += amps / ohms;
  report.loadWatts += watts / ohms;
  report.heatWatts += heat / ohms;
  report.worstExcess = worst / ohms;
  lower(report, least, at);
}
