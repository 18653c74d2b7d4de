import { movesOf } from '../model/address-moves.ts';
import { addressText } from '../model/address-text.ts';
import { addressesOf, type RunAddress } from '../model/addresses.ts';
import type { Origin } from '../model/finding.ts';
import type { Check } from './check.ts';

export const addressOverlap: Check = {
  code: 'address-overlap',
  level: 'error',
  title: 'Two runs have the same addresses',
  explanation: `Every pixel takes slots of its own in a universe. Two runs with the same slots show the same picture, and neither
can be told apart in the show.

Runs without \`universe\` are given addresses that are free. Two pinned runs may meet, and so may two controllers whose
\`universes from\` lines are too close together.

What helps: another universe or slot for one of the two, or no \`universe\` at all.`,
  whole: true,
  run: ({ plan }, report) => {
    const order = [...addressesOf(plan).values()].sort((a, b) => a.from - b.from || a.to - b.to);
    let furthest: RunAddress | undefined;
    for (const address of order) {
      if (furthest !== undefined && address.from < furthest.to) {
        const other = furthest;
        const free = movesOf(plan, [address])[0]?.universe;
        const hint = free === undefined ? '' : `; universe ${free.toLocaleString('en')} is free`;
        report({
          code: 'address-overlap',
          origin: placeOf(address),
          subject: address.run.name,
          message: `${address.run.name} is at ${addressText(address)}, which ${other.run.name} has too (${addressText(other)}). Move one of them${hint}.`,
          related: [{ origin: placeOf(other), message: `${other.run.name} is at ${addressText(other)}.` }],
        });
      }
      if (furthest === undefined || address.to > furthest.to) furthest = address;
    }
  },
};

/** Where a person would change the address. */
export function placeOf({ run, controller }: RunAddress): Origin {
  return run.pin?.universeOrigin ?? controller.universes?.firstOrigin ?? run.origin;
}
