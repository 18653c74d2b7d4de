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
    const changed = this.changedSince(pieces, known);
    const things = Object.fromEntries(
      MAPS.map(([key, kind]) => [
        key,
        this.updated(key, pieces, changed) ?? merged(key, pieces, known.get(kind) ?? []),
      ]),
    ) as unknown as Things;
    this.last = { known, pieces, things };
    return {
      ...buildThings(common, [], () => undefined, known),
      ...things,
      measurements: concat(pieces.map(({ plan }) => plan.measurements)),
      uses: concat([common.build.uses, ...pieces.map(({ plan }) => plan.uses)]),
    };
  }

  /** Places of the pieces that are others than the time before; undefined where the names are others too. */
  private changedSince(pieces: readonly Part[], known: KnownNames): number[] | undefined {
    if (this.last === undefined || this.last.known !== known || this.last.pieces.length !== pieces.length)
      return undefined;
    const before = this.last.pieces;
    const changed: number[] = [];
    for (let index = 0; index < pieces.length; index++)
      if (pieces[index]?.plan !== before[index]?.plan) changed.push(index);
    return changed;
  }

  /** The map of the time before with the things of changed pieces; undefined where a piece has others by name. */
  private updated(
    key: keyof Things,
    pieces: readonly Part[],
    changed: readonly number[] | undefined,
  ): ThingMap | undefined {
    if (this.last === undefined || changed === undefined) return undefined;
    const { pieces: before, things } = this.last;
    let map: Map<string, unknown> | undefined;
    for (const index of changed) {
      const [old, now] = [before[index]?.plan[key], pieces[index]?.plan[key]];
      if (old === undefined || now === undefined || !haveSameNames(old, now)) return undefined;
      if (now.size > 0) map ??= new Map<string, unknown>(things[key]);
      for (const [name, thing] of now) map?.set(name, thing);
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
