import { isFixture, unitOf } from '../model/fixtures.ts';
import { amps, rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const conductorOverloaded: Check = {
  code: 'conductor-overloaded',
  hazard: true,
  level: 'error',
  ofLoad: true,
  title: "A string's own conductors carry too much",
  needs: needs.strings,
  explanation: `Power for everything behind it flows through the thin wires of the string. Too much current heats them, browns the
insulation and, in a bundle or under tape, melts it. The limit is the part's \`rated\` line, or for a plain gauge the
overcurrent limit of NEC 240.4(D) (18 and 16 AWG from memory).

What helps: inject power behind this point, so that less flows through here.`,
  run: ({ account }, report) => {
    for (const run of account.runs.values()) {
      for (const string of run.strings) {
        const rated = string.piece.part.rated;
        if (rated === undefined || !exceeds(string.most.amps, rated.value)) continue;
        report({
          code: 'conductor-overloaded',
          excess: string.most.amps / rated.value - 1,
          origin: string.piece.origin,
          subject: run.run.name,
          message: isFixture(string.piece.part)
            ? `The cord of ${unitOf(string.piece.part)} ${string.most.pixel} of ${run.run.name} carries ${amps(string.most.amps)}; ${string.piece.part.name} is rated for ${rating(rated.value)}. Ask its maker for a thicker cord.`
            : `The string's own wire carries ${amps(string.most.amps)} at pixel ${string.most.pixel} of ${run.run.name}; ${string.piece.part.name} is rated for ${rating(rated.value)}. Inject power further along.`,
          related: rated.origin === undefined ? [] : [{ origin: rated.origin, message: `Rated here.` }],
        });
        break; // One per run: the first string names the place, the cure is the same for all.
      }
    }
  },
};
