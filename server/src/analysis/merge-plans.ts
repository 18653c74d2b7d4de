import { buildThings, type Common } from '../model/builders/build-plan.ts';
import type { KnownNames, ThingKind } from '../model/builders/context.ts';
import type { Plan } from '../model/plan.ts';

interface Part {
  readonly plan: Plan;
}

/** The maps of things of a plan, with the kind of the names in each. */
const MAPS = [
  ['supplies', 'supply'],
  ['boards', 'board'],
  ['controllers', 'controller'],
  ['runs', 'run'],
  ['feeds', 'feed'],
  ['bonds', 'bond'],
] as const satisfies readonly (readonly [keyof Plan, ThingKind])[];

type Things = Pick<Plan, (typeof MAPS)[number][0]>;
type ThingMap = ReadonlyMap<string, unknown>;

/** Makes one plan of its pieces. Where the names are those of the time before, only what changed is put in anew. */
export class PlanMerger {
  private last: { readonly known: KnownNames; readonly pieces: readonly Part[]; readonly things: Things } | undefined;

  /** All things in the order of the plan, whatever piece they are in. */
  merge(common: Common, pieces: readonly Part[], known: KnownNames): Plan {
    const things = Object.fromEntries(
      MAPS.map(([key, kind]) => [key, this.updated(key, pieces, known) ?? merged(key, pieces, known.get(kind) ?? [])]),
    ) as unknown as Things;
    this.last = { known, pieces, things };
    return {
      ...buildThings(common, [], () => undefined, known),
      ...things,
      measurements: concat(pieces.map(({ plan }) => plan.measurements)),
      uses: concat([common.build.uses, ...pieces.map(({ plan }) => plan.uses)]),
    };
  }

  /** The map of the time before with the things of changed pieces; undefined where a piece has others by name. */
  private updated(key: keyof Things, pieces: readonly Part[], known: KnownNames): ThingMap | undefined {
    if (this.last === undefined || this.last.known !== known || this.last.pieces.length !== pieces.length)
      return undefined;
    const { pieces: before, things } = this.last;
    let map: Map<string, unknown> | undefined;
    for (const [index, { plan }] of pieces.entries()) {
      const old = before[index]?.plan;
      if (old === plan) continue;
      if (old === undefined || !haveSameNames(old[key], plan[key])) return undefined;
      if (plan[key].size > 0) map ??= new Map<string, unknown>(things[key]);
      for (const [name, thing] of plan[key]) map?.set(name, thing);
    }
    return map ?? things[key];
  }
}

function merged(key: keyof Things, pieces: readonly Part[], names: Iterable<string>): ThingMap {
  const [only] = pieces;
  if (pieces.length === 1 && only !== undefined) return only.plan[key];
  const all = new Map<string, unknown>();
  for (const { plan } of pieces) for (const [name, thing] of plan[key]) all.set(name, thing);
  const ordered = new Map<string, unknown>();
  for (const name of names) if (all.has(name)) ordered.set(name, all.get(name));
  return ordered;
}

function haveSameNames(a: ThingMap, b: ThingMap): boolean {
  if (a.size !== b.size) return false;
  for (const name of a.keys()) if (!b.has(name)) return false;
  return true;
}

export function concat<T>(lists: readonly (readonly T[])[]): T[] {
  const all = new Array<T>(lists.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const list of lists) for (const item of list) all[at++] = item;
  return all;
}
