/** What the pixels of a chain draw, and how firmly they hold their volts. */
import type { Chain, ChainScratch } from './chain-state.ts';
import { pieceSize } from './load-curve.ts';

/** r times the current of each pixel first .. last into `draw`, and r times its slope into `grip`, V. */
export function drawPixels(chain: Chain, scratch: ChainScratch, rising: boolean): void {
  drawAll(chain, chain.volts!, chain.first, chain.last, scratch, rising);
}

/** The same for any places first .. last of which the volts are known. */
export function drawAll(
  { curve, ohms }: Chain,
  volts: Float64Array,
  first: number,
  last: number,
  { draw, grip }: ChainScratch,
  rising: boolean,
): void {
  const { from, terms } = curve;
  const top = from.length - 1;
  // Neighbours mostly share a piece of the curve: its numbers stay at hand until a pixel leaves it.
  let j = top;
  let low = Infinity;
  let high = Infinity;
  let c0 = NaN;
  let c1 = NaN;
  let c2 = NaN;
  let c3 = NaN;
  let watts = NaN;
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
