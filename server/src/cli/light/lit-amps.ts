import { sure } from '#grammar/sure.ts';
import { litChannels } from '../../model/pixel-loads.ts';
import type { Design, PixelPart, Plan } from '../../model/plan.ts';
import type { LitPixel } from './lit-pixels.ts';
import type { LitColour } from './lit-slots.ts';

/** What pixels draw at their nominal voltage, beyond what they draw when dark. */

type Look = Design['look']['value'];

const lookOf = (colour: LitColour): Look => (colour === 'white' ? 'full-white' : colour);

/** A; of a panel, all of it. */
function partAmps(part: PixelPart, look: Look): number {
  const { converter, volts } = part;
  const channels = litChannels(part, look).reduce((sum, channel) => sum + channel.amps, 0);
  if (converter === undefined) return channels;
  return channels + ((look === 'full-white' ? 1 : 1 / 3) * converter.watts) / sure(volts);
}

/** The greatest level, 0 to 1, at which none of some pixels draws more than the plan is designed for. */
export function greatestLevel({ design }: Plan, pixels: readonly LitPixel[], colour: LitColour): number {
  let most = 1;
  for (const part of new Set(pixels.map(({ piece }) => piece.part))) {
    const lit = partAmps(part, lookOf(colour));
    if (lit > 0) most = Math.min(most, (partAmps(part, design.look.value) * design.brightness.value) / lit);
  }
  return most;
}

/** A that some pixels draw together when they are lit, with what they draw when dark. */
export function litAmps(pixels: readonly LitPixel[], colour: LitColour, level: number): number {
  let sum = 0;
  for (const { piece } of pixels) {
    const { part } = piece;
    const share = part.panel === undefined ? 1 : 1 / (part.panel.rows * part.panel.columns);
    sum += share * (part.idleAmps + partAmps(part, lookOf(colour)) * level);
  }
  return sum;
}
