import { sure } from '#grammar/sure.ts';
import { volts } from '../model/texts.ts';
import { Zones } from '../model/zones.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

/** TIA-485-A: inputs work from -7 V to +12 V against their own ground; a driver's 0 to 5 V leave 7 V of shift either way. */
const MOST_SHIFT = 7;

export const linkGroundShift: Check = {
  code: 'link-ground-shift',
  level: 'error',
  title: 'The grounds at both ends of a link are too far apart',
  explanation: `A differential link needs no common ground to tell its bits: it looks at the difference of two wires. But the input of
the receiver stands only −7 V to +12 V against its own ground (TIA-485-A). A driver between 0 and 5 V leaves 7 V for the
shift of the grounds, either way. It is reckoned where wires join both grounds; where none does, nobody can know it.

What helps: a thicker ground between both supplies, or a supply of its own for the receiver.`,
  run: ({ account }, report) => {
    for (const { island, circuit, outcome } of account.islands) {
      if (outcome.status !== 'solved') continue;
      const zones = new Zones(circuit);
      for (const receiver of island.controllers) {
        const { link } = receiver;
        const far = circuit.controllers.get(receiver)?.negative;
        const near = link === undefined ? undefined : circuit.controllers.get(link.from)?.negative;
        if (link === undefined || far === undefined || near === undefined || !zones.joined(far, near)) continue;
        const shift = sure(outcome.nodeVolts[far]) - sure(outcome.nodeVolts[near]);
        if (!exceeds(Math.abs(shift), MOST_SHIFT)) continue;
        report({
          code: 'link-ground-shift',
          excess: Math.abs(shift) / MOST_SHIFT - 1,
          origin: link.origin,
          subject: receiver.name,
          message: `The ground of ${receiver.name} is ${volts(Math.abs(shift))} ${shift > 0 ? 'above' : 'below'} that of ${link.from.name}; 7 V is the most that line receivers take (TIA-485-A: −7 V to +12 V). Use a thicker ground between their supplies.`,
        });
      }
    }
  },
};
