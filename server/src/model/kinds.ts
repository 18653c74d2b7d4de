/** What a name is, for those who look for a thing of another kind: "supply", "cable part". */
export type KindOf = (name: string) => string | undefined;

interface Names {
  readonly has: (name: string) => boolean;
}

/** Of parts, places, circuits and props; `known` are the names of all other things of the plan by kind. */
export function kindsIn(
  common: Readonly<Record<(typeof COMMON)[number][0], { readonly map: Names }>>,
  known: ReadonlyMap<string, Names>,
): KindOf {
  return kindAmong([...known, ...COMMON.map(([key, kind]) => [kind, common[key].map] as const)]);
}

/** Of all things of a plan that is built. */
export function kindsOfPlan(plan: Readonly<Record<(typeof THINGS | typeof COMMON)[number][0], Names>>): KindOf {
  return kindAmong([...THINGS, ...COMMON].map(([key, kind]) => [kind, plan[key]] as const));
}

function kindAmong(lists: readonly (readonly [string, Names])[]): KindOf {
  return (name) => lists.find(([, names]) => names.has(name))?.[0];
}

const THINGS = [
  ['runs', 'run'],
  ['feeds', 'feed'],
  ['supplies', 'supply'],
  ['boards', 'board'],
  ['controllers', 'controller'],
  ['bonds', 'bond'],
] as const;

const COMMON = [
  ['circuits', 'circuit'],
  ['props', 'prop'],
  ['places', 'place'],
  ['masts', 'mast'],
  ['pixels', 'pixel part'],
  ['panels', 'panel part'],
  ['floods', 'flood part'],
  ['cables', 'cable part'],
  ['connectors', 'connector part'],
  ['supplyParts', 'supply part'],
  ['controllerParts', 'controller part'],
  ['receiverParts', 'receiver part'],
] as const;
