import { sure } from '#grammar/sure.ts';
import { channelAmps } from '../electrics/pixel-currents.ts';
import type { RunAccount } from './account.ts';
import { litChannels, loadModel } from './pixel-loads.ts';
import type { Colour, Design, PixelPart } from './plan.ts';

/** What is left of a colour's light at some voltage: its current over the current that it is rated for, 0 to 1. */
export interface ColourShare {
  readonly colour: Colour;
  readonly share: number;
}

/** Where a run's colours fall furthest behind. */
export interface ColourShift {
  /** The colours that have least left, alike to a thousandth. */
  readonly colours: readonly Colour[];
  readonly share: number;
  /** Number along the run. */
  readonly pixel: number;
  /** All colours of that pixel. */
  readonly all: readonly ColourShare[];
}

/** Less than this is missed by nobody, and would be written as 100 %. */
const FULL = 0.995;

/**
 * Shares of the colours that a look lights, in the part's order. A chip averages its colours by switching them, so that
 * the share does not depend on the brightness; the voltage does. Converters tell no colours apart: none are given.
 */
export function colourShares(part: PixelPart, look: Design['look']['value'], volts: number): ColourShare[] {
  const amps = channelAmps(loadModel(part, look), volts, 1);
  return litChannels(part, look).flatMap((channel, index) =>
    channel.amps > 0 ? { colour: channel.colour, share: Math.min(1, sure(amps[index]) / channel.amps) } : [],
  );
}

/** Whether any colour has visibly less than its full light. */
export function isShifted(shares: readonly ColourShare[]): boolean {
  return shares.some(({ share }) => share < FULL);
}

/**
 * The colour that starves most, and where; undefined where all have their full light. All currents fall with the voltage:
 * within a string it is enough to look at its lowest pixel.
 */
export function colourShiftOf(account: RunAccount, look: Design['look']['value']): ColourShift | undefined {
  let kept = KEPT.get(account);
  if (kept?.look !== look) {
    kept = { look, shift: findShift(account, look) };
    KEPT.set(account, kept);
  }
  return kept.shift;
}

/** Asked for again while others are edited, when the account of a run stays the same. */
const KEPT = new WeakMap<RunAccount, { readonly look: string; readonly shift: ColourShift | undefined }>();

function findShift(account: RunAccount, look: Design['look']['value']): ColourShift | undefined {
  let worst: ColourShift | undefined;
  for (const { piece, least } of account.strings) {
    const all = colourShares(piece.part, look, least.volts);
    const share = Math.min(...all.map((each) => each.share));
    if (!(share < FULL) || share >= (worst?.share ?? 1)) continue;
    const colours = all.filter((each) => each.share < share + 1e-3).map(({ colour }) => colour);
    worst = { colours, share, pixel: least.pixel, all };
  }
  return worst;
}

/** "blue", "green and blue"; a chain has one current for all. */
export function colourNames(colours: readonly Colour[]): string {
  return colours.map((colour) => (colour === 'chain' ? 'all colours' : colour)).join(' and ');
}
