import { addressText } from '../model/address-text.ts';
import { addressesOf, LAST_UNIVERSE, positionOf } from '../model/addresses.ts';
import { count } from '../model/texts.ts';
import { placeOf } from './address-overlap.ts';
import type { Check } from './check.ts';

export const addressRange: Check = {
  code: 'address-range',
  level: 'error',
  title: 'Addresses beyond the last universe, or a pixel that does not start where it is pinned',
  explanation: `ANSI E1.31 has universes 1 to 63,999 with slots 1 to 512. A run whose pixels reach beyond the last of them
cannot be addressed.

A pixel is not split over two universes, unless the controller says \`split\`. So a run that is pinned to one of the last
slots of a universe, where its first pixel has no room, starts in the next one.

What helps: a lower universe, or a lower slot.`,
  whole: true,
  run: ({ plan }, report) => {
    const end = positionOf(LAST_UNIVERSE + 1, 1);
    let told = false;
    for (const address of addressesOf(plan).values()) {
      const { run, from, to } = address;
      if (to > end) {
        // Runs without a pin follow one another: the first tells of the others.
        if (told && !address.isPinned) continue;
        told ||= !address.isPinned;
        report({
          code: 'address-range',
          origin: placeOf(address),
          subject: run.name,
          message: `${run.name} would be at ${addressText(address)}; the last universe is ${LAST_UNIVERSE.toLocaleString('en')} (ANSI E1.31). Start lower.`,
        });
      } else if (run.pin !== undefined && from !== positionOf(run.pin.universe, run.pin.slot)) {
        const room = 513 - run.pin.slot;
        report({
          code: 'address-range',
          origin: run.pin.slotOrigin ?? run.pin.universeOrigin,
          subject: run.name,
          message: `Slot ${run.pin.slot} leaves room for ${count(room, 'slot')}, too few for a pixel, so ${run.name} starts in universe ${run.pin.universe + 1}. Pin it to a lower slot, or to that universe.`,
        });
      }
    }
  },
};
