import type { Origin } from '../model/finding.ts';
import type { CablePart, Place, Plan, Route } from '../model/plan.ts';
import { count } from '../model/texts.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const routeCrowded: Check = {
  code: 'route-crowded',
  level: 'warning',
  title: 'More cables pass a route than its limit',
  needs: needs.limitedRoutes,
  explanation: `Every cable through a passage is work, weight and a leak. A route may state how many should pass at most
(\`limit 4 cables\`); doubled conductors count as two.

What helps: one thicker trunk with several taps instead of several feeds, a supply on the far side.`,
  whole: true,
  run: ({ plan }, report) => {
    for (const route of plan.routes) {
      if (route.most === undefined) continue;
      const passing = cablesOn(plan, route);
      const sum = passing.reduce((total, cable) => total + cable.count, 0);
      if (sum <= route.most) continue;
      report({
        code: 'route-crowded',
        excess: sum - route.most,
        subject: `${route.from.name} to ${route.to.name}`,
        origin: route.limit?.origin ?? route.origin,
        message: `${count(sum, 'cable')} ${sum === 1 ? 'passes' : 'pass'} from ${route.from.name} to ${route.to.name}; ${route.most} is the limit. One trunk with several taps replaces several feeds.`,
        related: passing.map((cable) => ({
          origin: cable.origin,
          message: `${cable.name}${cable.count > 1 ? ` (${cable.count})` : ''} passes here.`,
        })),
      });
    }
  },
};

interface Passing {
  readonly name: string;
  readonly count: number;
  /** Cross-section of all its cores together, mm2. */
  readonly copper: number;
  readonly origin: Origin;
}

/** The cables that pass a route, doubled ones counted as two. */
export function cablesOn(plan: Plan, route: Route): Passing[] {
  const passes = (path: readonly Place[]) =>
    path.some((place, index) => {
      const next = path[index + 1];
      return (place === route.from && next === route.to) || (place === route.to && next === route.from);
    });
  const found: Passing[] = [];
  for (const run of plan.runs.values()) {
    for (const piece of run.pieces)
      if (piece.kind === 'lead' && passes(piece.path))
        found.push({
          name: `the lead of ${run.name}`,
          count: 1,
          copper: copperOf(piece.cable, 1),
          origin: piece.origin,
        });
  }
  for (const { name, link } of plan.controllers.values()) {
    if (link !== undefined && passes(link.path))
      found.push({ name: `the link of ${name}`, count: 1, copper: 0, origin: link.origin });
  }
  for (const board of plan.boards.values()) {
    if (passes(board.path))
      found.push({
        name: `the cable to ${board.name}`,
        count: board.parallel,
        copper: copperOf(board.cable, board.parallel),
        origin: board.origin,
      });
  }
  for (const feed of plan.feeds.values()) {
    for (const piece of feed.pieces) {
      if (piece.kind === 'cable' && passes(piece.path))
        found.push({
          name: feed.name,
          count: piece.parallel,
          copper: copperOf(piece.cable, piece.parallel),
          origin: feed.origin,
        });
    }
  }
  return found;
}

function copperOf({ conductor, cores }: CablePart, parallel: number): number {
  return (conductor?.area ?? 0) * cores.size * parallel;
}
