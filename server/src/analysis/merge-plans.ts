import { buildThings, type Common } from '../model/builders/build-plan.ts';
import type { KnownNames, ThingKind } from '../model/builders/context.ts';
import { once } from '../model/once.ts';
import type { Plan } from '../model/plan.ts';
import { ThingMap } from './thing-map.ts';

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

type Key = (typeof MAPS)[number][0];
type Things = Readonly<Record<Key, ThingMap<unknown>>>;

/** All things in the order of the plan, whatever piece they are in, and what they were made of. */
export interface Merged {
  readonly known: KnownNames;
  readonly pieces: readonly Part[];
  readonly things: Things;
}

/** Merges the things of pieces. Where the names are those of the time before, only what changed is put in anew. */
export function merge(pieces: readonly Part[], known: KnownNames, before: Merged | undefined): Merged {
  return { known, pieces, things: updated(pieces, known, before) ?? mergedThings(pieces, known) };
}

/** One plan of what its pieces have merged to. */
export function planOf(common: Common, { known, pieces, things }: Merged): Plan {
  return {
    ...buildThings(common, [], () => undefined, known),
    ...(things as unknown as Pick<Plan, Key>),
    measurements: concat(pieces.map(({ plan }) => plan.measurements)),
    uses: once(() => concat([common.build.uses, ...pieces.map(({ plan }) => plan.uses())])),
  };
}

/** The maps of the time before with the things of changed pieces; undefined where a piece has others by name. */
function updated(pieces: readonly Part[], known: KnownNames, last: Merged | undefined): Things | undefined {
  if (last === undefined || last.known !== known || last.pieces.length !== pieces.length) return undefined;
  const { pieces: before, things } = last;
  const changed: Plan[] = [];
  for (let index = 0; index < pieces.length; index++) {
    const [old, now] = [before[index]?.plan, pieces[index]?.plan];
    if (old === now || old === undefined || now === undefined) continue;
    if (!MAPS.every(([key]) => haveSameNames(old[key], now[key]))) return undefined;
    changed.push(now);
  }
  if (changed.length === 0) return things;
  return mapsOf((key) => things[key].with(changed.map((plan) => plan[key])));
}

function mergedThings(pieces: readonly Part[], known: KnownNames): Things {
  return mapsOf((key, kind) => {
    const all = new Map<string, unknown>();
    for (const { plan } of pieces) plan[key].forEach((thing, name) => all.set(name, thing));
    return pieces.length === 1 ? ThingMap.of(all) : ThingMap.of(all, known.get(kind) ?? []);
  });
}

function mapsOf(make: (key: Key, kind: ThingKind) => ThingMap<unknown>): Things {
  return Object.fromEntries(MAPS.map(([key, kind]) => [key, make(key, kind)])) as unknown as Things;
}

function haveSameNames(a: ReadonlyMap<string, unknown>, b: ReadonlyMap<string, unknown>): boolean {
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
