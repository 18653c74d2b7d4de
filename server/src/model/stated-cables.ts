import type { Given, Measure } from './bound.ts';
import type { Place, Plan, Route } from './plan.ts';
import { routeBetween } from './route-between.ts';
import type { StatedWay } from './stated-way.ts';

/** Undefined where one of the two is not written, or where no route joins two places of the way. */
export function statedWay(
  routes: readonly Route[],
  length: Given<Measure> | undefined,
  path: readonly Place[],
): StatedWay | undefined {
  if (length === undefined || path.length < 2) return undefined;
  let way = 0;
  for (const [index, to] of path.entries()) {
    const from = path[index - 1];
    if (from === undefined) continue;
    const route = routeBetween(routes, from, to);
    if (route === undefined) return undefined;
    way += route.length;
  }
  return { way, lengthOrigin: length.origin };
}

export interface StatedCable {
  readonly subject: string;
  readonly length: number;
  readonly stated: StatedWay;
}

/** Every cable that a plan gives a length and a way. */
export function statedCables(plan: Plan): StatedCable[] {
  const found: StatedCable[] = [];
  const add = (subject: string, { length, stated }: { readonly length: number; readonly stated?: StatedWay }) => {
    if (stated !== undefined) found.push({ subject, length, stated });
  };
  for (const run of plan.runs.values()) for (const piece of run.pieces) if (piece.kind === 'lead') add(run.name, piece);
  for (const { name, link } of plan.controllers.values()) if (link !== undefined) add(name, link);
  for (const board of plan.boards.values()) add(board.name, board);
  for (const feed of plan.feeds.values())
    for (const piece of feed.pieces) if (piece.kind === 'cable') add(feed.name, piece);
  return found;
}
