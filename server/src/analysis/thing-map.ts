import { sure } from '#grammar/sure.ts';

/**
 * Things by name in the order of a plan. Versions of a plan that differ in a few things share the places of the names, so
 * that a key costs one list of references and not a table of all names.
 */
export class ThingMap<T> implements ReadonlyMap<string, T> {
  private readonly places: ReadonlyMap<string, number>;
  private readonly things: readonly T[];

  private constructor(places: ReadonlyMap<string, number>, things: readonly T[]) {
    this.places = places;
    this.things = things;
  }

  /** Of all the things of a map, in its order or in that of some names. */
  static of<T>(map: ReadonlyMap<string, T>, order: Iterable<string> = map.keys()): ThingMap<T> {
    const places = new Map<string, number>();
    const things: T[] = [];
    for (const name of order) {
      if (!map.has(name)) continue;
      places.set(name, things.length);
      things.push(map.get(name) as T);
    }
    return new ThingMap(places, things.slice());
  }

  /** The same names, some of which stand for other things; a name that is not there is left out. */
  with(changed: readonly ReadonlyMap<string, T>[]): ThingMap<T> {
    if (changed.every(({ size }) => size === 0)) return this;
    const things = this.things.slice();
    for (const map of changed) {
      map.forEach((thing, name) => {
        const place = this.places.get(name);
        if (place !== undefined) things[place] = thing;
      });
    }
    return new ThingMap(this.places, things);
  }

  get size(): number {
    return this.things.length;
  }

  get(name: string): T | undefined {
    const place = this.places.get(name);
    return place === undefined ? undefined : this.things[place];
  }

  has(name: string): boolean {
    return this.places.has(name);
  }

  forEach(visit: (thing: T, name: string, map: ReadonlyMap<string, T>) => void): void {
    this.places.forEach((place, name) => {
      visit(sure(this.things[place]), name, this);
    });
  }

  keys(): MapIterator<string> {
    return this.places.keys();
  }

  values(): MapIterator<T> {
    return this.things.values();
  }

  *entries(): MapIterator<[string, T]> {
    for (const [name, place] of this.places) yield [name, sure(this.things[place])];
  }

  [Symbol.iterator](): MapIterator<[string, T]> {
    return this.entries();
  }
}
