import { sure } from '#grammar/sure.ts';
import { pixelsOf, type RunAccount, type StringAccount } from '../model/account.ts';
import { isFixture, unitOf } from '../model/fixtures.ts';
import { volts } from '../model/texts.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';
import { isCollapsed } from './string-state.ts';

export const voltageCollapse: Check = {
  code: 'voltage-collapse',
  level: 'error',
  ofLoad: true,
  title: 'Pixels with converters drag their own voltage down until they shut off',
  needs: needs.solvedRuns,
  explanation: `A pixel with a switching converter draws constant power: the lower its voltage, the more current it takes, and the
more the wires lose. Below some voltage there is no steady state any more: from one pixel on the converters shut down,
start again, and the string flashes or stays dark. Long thin wires and full brightness bring it about.

What helps: inject power before the pixel that is named, thicker wire, or less brightness.`,
  run: ({ plan, account }, report) => {
    for (const run of account.runs.values()) {
      const string = run.strings.find(isCollapsed);
      const converter = string?.piece.part.converter;
      if (string === undefined || converter === undefined) continue;
      const { lockout } = converter;
      const { look, brightness } = plan.design;
      report({
        code: 'voltage-collapse',
        excess: 1 - string.least.volts / lockout,
        origin: string.piece.origin,
        subject: run.run.name,
        message: isFixture(string.piece.part)
          ? `The voltage at ${unitOf(string.piece.part)} ${string.piece.first} of ${run.run.name} collapses: the converter of ${string.piece.part.name} shuts down below ${volts(lockout)}. Take a thicker or shorter feed, or fewer on one feed.`
          : `From pixel ${firstBelow(run, string, lockout)} of ${run.run.name} the voltage collapses: at ${look.value} and ${Math.round(brightness.value * 100)} % the converters of ${string.piece.part.name} shut down below ${volts(lockout)}. Inject power before it.`,
      });
    }
  },
};

/** The first pixel of a string, in data order, that is below a voltage, of which it has one; its number along the run. */
function firstBelow(run: RunAccount, string: StringAccount, limit: number): number {
  const { volts: all } = pixelsOf(run);
  let pixel = string.piece.first;
  while (sure(all[pixel - 1]) >= limit) pixel++;
  return pixel;
}
