import { volts } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const supplySetting: Check = {
  code: 'supply-setting',
  level: 'error',
  ofLoad: true,
  title: 'A supply is set outside the range of its trimmer',
  needs: needs.setSupplies,
  explanation: `The set voltage lies outside what the part's trimmer can reach (\`adjust 10.8 V to 13.2 V\`). The plan would compute with
a voltage that the supply never gives.

What helps: a set voltage inside the range, measured without load.`,
  run: ({ plan }, report) => {
    for (const supply of plan.supplies.values()) {
      const { part, volts: set } = supply;
      if (part?.adjust === undefined || set?.origin === undefined) continue;
      const { adjust } = part;
      if (!exceeds(adjust.from, set.value) && !exceeds(set.value, adjust.to)) continue;
      report({
        code: 'supply-setting',
        origin: set.origin,
        subject: supply.name,
        message: `${supply.name} cannot be set to ${volts(set.value)}; ${part.name} reaches ${volts(adjust.from)} to ${volts(adjust.to)}.`,
      });
    }
  },
};
