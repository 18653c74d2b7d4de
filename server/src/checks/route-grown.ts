import { count } from '../model/texts.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';
import { cablesOn } from './route-crowded.ts';

export const routeGrown: Check = {
  code: 'route-grown',
  level: 'information',
  title: 'More cables pass a route than last year',
  needs: needs.countedRoutes,
  explanation: `Every cable through a passage is work, weight and a leak, so a crew wants the count to fall from year to year.
A route may state how many passed last year (\`last-year 6 cables\`); doubled conductors count as two.

What helps: one trunk with several taps instead of several feeds, a supply on the far side.`,
  whole: true,
  run: ({ plan }, report) => {
    for (const route of plan.routes) {
      const passing = cablesOn(plan, route);
      const sum = passing.reduce((total, cable) => total + cable.count, 0);
      if (route.before === undefined || sum <= route.before.cables) continue;
      const { cables, origin } = route.before;
      report({
        code: 'route-grown',
        excess: sum - cables,
        subject: `${route.from.name} to ${route.to.name}`,
        origin,
        message: `${count(sum, 'cable')} from ${route.from.name} to ${route.to.name}, ${count(sum - cables, 'cable')} more than last year.`,
        related: passing.map((cable) => ({ origin: cable.origin, message: `${cable.name} passes here.` })),
      });
    }
  },
};
