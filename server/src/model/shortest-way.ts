import { sure } from '#grammar/sure.ts';
import type { Place, Route } from './plan.ts';

/** A way between two places: the places that it passes, its length in m, and the routes that it takes. */
export interface Way {
  readonly places: readonly Place[];
  readonly length: number;
  readonly routes: readonly Route[];
}

/** The shortest way along a plan's routes (Dijkstra's algorithm); undefined where there is none. */
export function shortestWay(routes: readonly Route[], from: Place, to: Place): Way | undefined {
  const best = new Map<Place, Way>([[from, { places: [from], length: 0, routes: [] }]]);
  const open = new Set<Place>([from]);
  while (open.size > 0) {
    const at = [...open].reduce((a, b) => (sure(best.get(b)).length < sure(best.get(a)).length ? b : a));
    open.delete(at);
    const way = best.get(at);
    if (way === undefined || at === to) return way;
    for (const route of routes) {
      const next = route.from === at ? route.to : route.to === at ? route.from : undefined;
      if (next === undefined) continue;
      const length = way.length + route.length;
      if (length >= (best.get(next)?.length ?? Number.POSITIVE_INFINITY)) continue;
      best.set(next, { places: [...way.places, next], length, routes: [...way.routes, route] });
      open.add(next);
    }
  }
  return undefined;
}
