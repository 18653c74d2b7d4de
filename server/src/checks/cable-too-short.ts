import { cableStep, roundedUp } from '../model/cut-lengths.ts';
import { statedCables } from '../model/stated-cables.ts';
import { metres } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const cableTooShort: Check = {
  code: 'cable-too-short',
  level: 'warning',
  title: 'A cable is shorter than the way that it has to go',
  needs: needs.statedWays,
  explanation: `A cable that is cut too short is found out on the ladder. Where a line states a length and a way
(\`14 m … along shed to roof\`), the length has to reach along the routes of that way, with slack at each end for a drip loop and
for a second try at the connector: the plan's \`slack\`, 0.5 m where it does not say (common practice: 0.3 to 1 m at each end).

What helps: the length of the way and its slack, or no length at all: it then comes from the routes. Where the cable goes
another way, write that one.`,
  run: ({ plan }, report) => {
    const { slack, units } = plan.design;
    for (const { subject, length, stated } of statedCables(plan)) {
      const least = stated.way + 2 * slack.value;
      if (!exceeds(least, length)) continue;
      const reaches = !exceeds(stated.way, length);
      const isLeft = reaches ? `leaves ${metres(length - stated.way, units)} of slack` : 'does not reach';
      report({
        code: 'cable-too-short',
        level: reaches ? 'information' : 'warning',
        excess: 1 - length / least,
        origin: stated.lengthOrigin,
        subject,
        message: `This cable is ${metres(length, units)} long and ${isLeft}: its way is ${metres(stated.way, units)}, and ${metres(slack.value, units)} at each end are for slack and a drip loop (${slack.source}). Write ${metres(roundedUp(least, cableStep(plan.design)), units)}, or no length.`,
      });
    }
  },
};
