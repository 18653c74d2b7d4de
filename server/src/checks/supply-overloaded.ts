import { sure } from '#grammar/sure.ts';
import { deratedOf, deratedText } from '../model/derating.ts';
import type { Plan, Supply } from '../model/plan.ts';
import { amps, rating, share, shareBeside, volts } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const supplyOverloaded: Check = {
  code: 'supply-overloaded',
  level: 'error',
  ofLoad: true,
  title: 'A supply is loaded beyond what it should give',
  needs: needs.ratedSupplies,
  explanation: `An enclosed supply gives its label rating on a cool bench. In a closed box outdoors it is loaded to at most 80 %
(common practice). Where its part says how the rating falls with warmth (\`derate above 50 degC to 60 % at 70 degC\`), it is
loaded to that share of what is left at the warmest air of the plan plus the rise of its box (\`box-rise 15 K\`). Beyond its rating its voltage folds back and everything on it goes dim.

What helps: move runs or feeds to another supply, add a supply, or plan for less brightness (\`design-for full-white at 60 %\`,
if the controller really holds to it).`,
  run: ({ plan, account }, report) => {
    for (const [supply, load] of account.supplies) {
      const rated = supply.part?.rated;
      if (rated === undefined) continue;
      const derated = deratedOf(plan.design, supply);
      const whole = derated?.amps ?? rated;
      const warm =
        derated === undefined || derated.share === 1
          ? 'in a closed box'
          : `of the ${amps(whole)} that it can give in its warm box (${deratedText(derated, plan.design.air.value.to)})`;
      const limit = whole * plan.design.supplyShare.value;
      if (!exceeds(load.amps, limit)) continue;
      const folded = load.limited ? ` Its voltage has folded back to ${volts(load.volts)}.` : '';
      report({
        code: 'supply-overloaded',
        excess: load.amps / Math.max(limit, 1e-3) - 1,
        level: exceeds(load.amps, whole) ? 'error' : 'warning',
        origin: supply.origin,
        subject: supply.name,
        message: `${supply.name} gives ${amps(load.amps)}, ${shareBeside(load.amps / rated, plan.design.supplyShare.value)} of its ${rating(rated)}; ${share(plan.design.supplyShare.value)} (${amps(limit)}) is the most ${warm}.${folded} ${advice(plan, supply)}`,
        related: [...plan.feeds.values()]
          .filter((feed) => feed.from?.supply === supply)
          .map((feed) => ({
            origin: feed.fromOrigin ?? feed.origin,
            message: `${feed.name} takes ${amps(sure(account.feeds.get(feed)).amps)}.`,
          })),
      });
    }
  },
};

/** What can be moved, and where to. */
function advice(plan: Plan, supply: Supply): string {
  const feeds = [...plan.feeds.values()].filter((feed) => feed.from?.supply === supply);
  // A check sees one group of things that are joined by wire; other supplies may stand elsewhere.
  return plan.supplies.size > 1
    ? `${feeds.length > 1 ? 'Move a feed to' : 'Feed a part of its runs from'} another supply.`
    : `Add a supply, or ${feeds.length > 1 ? 'move a feed to' : 'feed a part of its runs from'} one with power to spare.`;
}
