/** What a solved chain amounts to: least voltage, power drawn, heat, and how well its pixels obey Kirchhoff's law. */
import type { Chain } from './chain.ts';
import { chainVolts } from './chain.ts';
import { curveAmps } from './load-curve.ts';

export interface ChainReport {
  readonly leastVolts: number;
  readonly leastPixel: number;
  /** Sum of the pixels' currents, A, and of their powers, W. */
  readonly amps: number;
  readonly loadWatts: number;
  /** Heat of the loop current in both rails, W. */
  readonly heatWatts: number;
  /** Largest excess current at any pixel but the last (which is a joint), A. */
  readonly worstExcess: number;
}

export function reportChain(chain: Chain, start: number, end: number): ChainReport {
  const { count, ohms, curve, first, last } = chain;
  const volts = chain.volts;
  const least = leastPixel(chain, start, end);
  const endAmps = curveAmps(curve, end);
  const sum = { amps: endAmps, loadWatts: end * endAmps, heatWatts: 0, worstExcess: 0 };
  if (first > last || volts === null) {
    addSpan(sum, chain, start, end, count);
    return { ...least, ...sum };
  }
  addSpan(sum, chain, start, volts[first], first);
  addSpan(sum, chain, volts[last], end, count - last);
  // Currents into pixel k from its left and from its right.
  let flow = sagFlow(chain, volts[first], start, first);
  for (let k = first; k <= last; k++) {
    const u = volts[k];
    const amps = curveAmps(curve, u);
    const isLast = k === last;
    const onward = isLast ? sagFlow(chain, u, end, count - last) : (volts[k + 1] - u) / ohms;
    sum.amps += amps;
    sum.loadWatts += u * amps;
    if (!isLast) sum.heatWatts += onward * onward * ohms;
    sum.worstExcess = Math.max(sum.worstExcess, Math.abs(amps - flow - onward));
    flow = -onward;
  }
  return { ...least, ...sum };
}

type Sum = { amps: number; loadWatts: number; heatWatts: number };

/** Current into the near end of a span of m pitches in regulation, from the side of its far end, A. */
function sagFlow(chain: Chain, near: number, far: number, m: number): number {
  return (far - near) / (m * chain.ohms) - (chain.curve.fullAmps * (m - 1)) / 2;
}

/** Adds the m - 1 pixels in regulation between two known points m pitches apart, and the heat of those pitches. */
function addSpan(sum: Sum, chain: Chain, left: number, right: number, m: number): void {
  const amps = chain.curve.fullAmps;
  const bend = chain.ohms * amps;
  const pixels = m - 1;
  sum.amps += pixels * amps;
  // Sum of k (m - k) over k = 1 .. m - 1 is (m - 1) m (m + 1) / 6.
  sum.loadWatts += amps * ((pixels * (left + right)) / 2 - (bend * pixels * m * (m + 1)) / 12);
  // The pitches' currents are m equally spaced numbers about their mean, `amps` apart.
  const mean = (left - right) / (m * chain.ohms);
  sum.heatWatts += chain.ohms * (m * mean * mean + (amps * amps * m * (m * m - 1)) / 12);
}

/** The lowest pixel (1 .. N) and its voltage; the first one of equals. */
function leastPixel(chain: Chain, start: number, end: number): { leastVolts: number; leastPixel: number } {
  const { count, first, last, volts } = chain;
  let best = count;
  let least = end;
  const consider = (k: number) => {
    if (k < 1 || k > count) return;
    const u = chainVolts(chain, start, end, k);
    if (u < least || (u === least && k < best)) {
      least = u;
      best = k;
    }
  };
  /** The bottom of a span in regulation is within one pixel of the quadratic's. */
  const considerSpan = (from: number, left: number, right: number, m: number) => {
    const bend = chain.ohms * chain.curve.fullAmps;
    const bottom = bend > 0 ? m / 2 + (left - right) / (m * bend) : left < right ? 0 : m;
    const near = from + Math.floor(Math.min(Math.max(bottom, 0), m));
    for (let k = near - 1; k <= near + 1; k++) consider(k);
  };
  consider(1);
  if (first > last || volts === null) {
    considerSpan(0, start, end, count);
  } else {
    considerSpan(0, start, volts[first], first);
    for (let k = first; k <= last; k++) consider(k);
    considerSpan(last, volts[last], end, count - last);
  }
  return { leastVolts: least, leastPixel: best };
}
