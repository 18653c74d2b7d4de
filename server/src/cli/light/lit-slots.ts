import { sure } from '#grammar/sure.ts';
import { addressesOf, addressOfPixel, positionOf, type RunAddress, SLOTS_OF_UNIVERSE } from '../../model/addresses.ts';
import type { Plan, Run } from '../../model/plan.ts';
import type { LitPixel } from './lit-pixels.ts';
import type { Universes } from './universes.ts';

/** What is lit of each pixel. Slots are red, green, blue and, where there is a fourth, white: the controller sorts them. */
export type LitColour = 'white' | 'red' | 'green' | 'blue';

/** All universes of the runs that some pixels are on, dark. */
export function darkUniverses(plan: Plan, pixels: readonly LitPixel[]): Universes {
  const addresses = addressesOf(plan);
  const universes = new Map<number, Uint8Array>();
  for (const run of new Set(pixels.map((pixel) => pixel.run)))
    for (const { universe } of addresses.get(run)?.spans ?? [])
      universes.set(universe, new Uint8Array(SLOTS_OF_UNIVERSE));
  return new Map([...universes].sort(([a], [b]) => a - b));
}

/** Lights some pixels at a level from 0 to 255; all else in these universes is as in `dark`. */
export function lightUp(
  plan: Plan,
  dark: Universes,
  pixels: readonly LitPixel[],
  colour: LitColour,
  level: number,
): Universes {
  const lit = new Map([...dark].map(([universe, slots]) => [universe, slots.slice()]));
  const addresses: ReadonlyMap<Run, RunAddress> = addressesOf(plan);
  for (const { run, pixel, piece } of pixels) {
    const address = addresses.get(run);
    // A prop may hang on a run without a port as well.
    if (address === undefined) continue;
    // What is dark of itself is not among the pixels.
    const start = sure(addressOfPixel(address, pixel));
    const from = positionOf(start.universe, start.slot);
    for (const offset of offsetsOf(colour, piece.part.slots.value)) {
      // A pixel may lie in two universes.
      const at = from + offset;
      lit
        .get(Math.floor(at / SLOTS_OF_UNIVERSE) + 1)
        ?.fill(level, at % SLOTS_OF_UNIVERSE, (at % SLOTS_OF_UNIVERSE) + 1);
    }
  }
  return lit;
}

/** A pixel of one slot has one colour. */
function offsetsOf(colour: LitColour, slots: number): readonly number[] {
  const only = slots < 3 ? 0 : { red: 0, green: 1, blue: 2, white: undefined }[colour];
  return only === undefined ? Array.from({ length: slots }, (_, index) => index) : [only];
}
