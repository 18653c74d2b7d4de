import { usedExtensions } from '../model/circuit-load.ts';
import { amps, rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

export const extensionOverloaded: Check = {
  code: 'extension-overloaded',
  level: 'error',
  title: 'An extension lead carries more than its cord is rated for',
  explanation: `The limit is the cord's \`rated\` line, or what holds for its size where it has none. A lead that lies coiled on its drum
or under leaves carries less. The breaker does not protect a lead that is thinner than the wires in the wall.

What helps: a lead of larger conductors, or fewer supplies behind it. Outdoors use leads made for it, with their joints dry
and off the ground. Mains work is for a licensed electrician and local codes.`,
  whole: true,
  run: ({ plan, account }, report) => {
    for (const { extension, owner, amps: load } of usedExtensions(plan, account)) {
      const { cord } = extension;
      if (cord?.rated === undefined || !exceeds(load, cord.rated.value)) continue;
      report({
        code: 'extension-overloaded',
        excess: load / cord.rated.value - 1,
        origin: extension.origin,
        subject: owner.name,
        message: `The lead of ${owner.name} carries ${amps(load)}; ${cord.name} is rated for ${rating(cord.rated.value)} (${cord.rated.source}). Use a thicker lead or fewer supplies behind it.`,
        related: [{ origin: cord.origin, message: `${cord.name} is described here.` }],
      });
    }
  },
};
