import type { Place, Route } from './plan.ts';

/** The route that joins two places, whichever way it is written. */
export function routeBetween(
  routes: readonly Route[],
  from: Place | undefined,
  to: Place | undefined,
): Route | undefined {
  return routes.find((route) => (route.from === from && route.to === to) || (route.from === to && route.to === from));
}
