import type { CheckContext } from '../checks/check.ts';
import { isFixtures, unitOfRun } from '../model/fixtures.ts';
import type { Run } from '../model/plan.ts';
import { shortestWay } from '../model/shortest-way.ts';
import { amps, volts } from '../model/texts.ts';
import { cablesFor, fullAmps, passing, suppliesFor } from './reach.ts';
import { spotsOf } from './spots.ts';

/** Why no injection helps a run, in the words of the plan: the first thing that a person would have to change. */
export function whyNoInjection({ plan, account }: CheckContext, run: Run): string {
  if (isFixtures(run)) return `each ${unitOfRun(run)} has a plug of its own, and takes a feed rather than a tap`;
  if (run.noTap === true) return `${run.name} is marked no-tap`;
  if (spotsOf(plan, run, true).length === 0) return `every joint of ${run.name} is tapped already or marked no-tap`;
  if (cablesFor(plan).length === 0) return 'the plan has no cable that carries V+ and ground and nothing else';
  const supplies = suppliesFor(plan, run);
  if (supplies.length === 0) return `no supply gives the voltage that ${run.name} is made for`;
  const needed = fullAmps(plan, run) - (account.runs.get(run)?.amps ?? 0);
  const spare = supplies.map((supply) => {
    const rated = supply.part?.rated;
    if (rated === undefined) return Number.POSITIVE_INFINITY;
    return rated * plan.design.supplyShare.value - (account.supplies.get(supply)?.amps ?? 0);
  });
  if (needed > 0.01 && Math.max(...spare) < needed) return tooLittle(needed, spare);
  const crowded = supplies.flatMap((supply) => {
    const way = supply.place && run.place ? shortestWay(plan.routes, supply.place, run.place) : undefined;
    return (
      way?.routes.filter((route) => route.most !== undefined && passing(plan, route) >= route.most).slice(0, 1) ?? []
    );
  });
  const [route] = crowded;
  if (route !== undefined) return `no room for another cable from ${route.from.name} to ${route.to.name}`;
  const highest = Math.max(...supplies.map((supply) => supply.volts?.value ?? 0));
  return `no cable at hand is thick enough at ${volts(highest)}: add a thicker one, raise the supply, or split the run`;
}

/** Supplies that share a run must not meet on one V+. */
function tooLittle(needed: number, spare: readonly number[]): string {
  const most = Math.max(0, ...spare);
  const together = spare.reduce((sum, share) => sum + Math.max(0, share), 0);
  const shared = together < needed ? '' : '; several have it together, but V+ must be cut between them';
  return `no supply in reach has ${amps(needed)} to spare, the most is ${amps(most)}${shared}`;
}
