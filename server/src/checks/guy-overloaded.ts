import { forceText, mastLoad } from '../model/mast-load.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

export const guyOverloaded: Check = {
  code: 'guy-overloaded',
  level: 'error',
  title: 'A guy or an anchor of a mast is pulled with more than its working load',
  explanation: `The wind presses with 0.5 x 1.25 kg/m3 x speed² (EN 1991-1-4, from memory; ASCE 7 takes 2 % less) on the sail, times
its drag coefficient. The guys hold the moment of that force about the foot, and when the wind blows along one of them, that
guy holds it all: pull = horizontal part / cos(angle above the ground). The limit is what the plan states for the guy
(\`rated\` on the line \`guys\`) and for the anchor.

These are figures of a first estimate: gusts, ice, the ground, knots and splices, the mast itself are not in them, and staying
below a limit here approves nothing. Masts need competent advice, proper anchoring and local codes.

What helps: anchors further out, guys higher up, less sail, taking the display down before the storm.`,
  whole: true,
  run: ({ plan }, report) => {
    for (const mast of plan.masts.values()) {
      const { guy } = mastLoad(mast);
      const text = (newtons: number) => forceText(newtons, plan.design.units);
      const look = (what: string, rated: (typeof mast)['anchor']) => {
        if (rated?.origin === undefined || !exceeds(guy, rated.value)) return;
        report({
          code: 'guy-overloaded',
          excess: guy / rated.value - 1,
          origin: rated.origin,
          subject: mast.name,
          message: `The wind pulls ${what} of ${mast.name} with ${text(guy)}; its working load is ${text(rated.value)}. Set the anchors further out or take sail away, and ask someone who knows masts.`,
        });
      };
      look('a guy', mast.guys.rated);
      look('an anchor', mast.anchor);
    }
  },
};
