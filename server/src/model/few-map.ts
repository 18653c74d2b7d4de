import { exact } from '#grammar/exact.ts';

const NONE: ReadonlyMap<never, never> = new Map<never, never>();

/** With more entries, a map finds them faster and takes no more room. */
const FEW = 4;

/**
 * A map as it stays. What is read off one group of things has an entry or two, for which a map of the language keeps room
 * for many more; a large plan has ten thousand of these.
 */
export function fewMap<K, V>(map: ReadonlyMap<K, V>): ReadonlyMap<K, V> {
  if (map.size === 0) return NONE as ReadonlyMap<never, V>;
  return map.size > FEW ? map : new FewMap(map);
}

/** A map of a few entries, looked through in order. Lists are gone through without the objects that a generator makes. */
class FewMap<K, V> implements ReadonlyMap<K, V> {
  private readonly names: readonly K[];
  private readonly things: readonly V[];

  constructor(map: ReadonlyMap<K, V>) {
    this.names = exact([...map.keys()]);
    this.things = exact([...map.values()]);
  }

  get size(): number {
    return this.names.length;
  }

  get(key: K): V | undefined {
    const at = this.names.indexOf(key);
    return at < 0 ? undefined : this.things[at];
  }

  has(key: K): boolean {
    return this.names.includes(key);
  }

  forEach(visit: (value: V, key: K, map: ReadonlyMap<K, V>) => void): void {
    for (let at = 0; at < this.names.length; at++) visit(this.things[at] as V, this.names[at] as K, this);
  }

  keys(): MapIterator<K> {
    return this.names.values();
  }

  values(): MapIterator<V> {
    return this.things.values();
  }

  entries(): MapIterator<[K, V]> {
    return this.names.map((name, at): [K, V] => [name, this.things[at] as V]).values();
  }

  [Symbol.iterator](): MapIterator<[K, V]> {
    return this.entries();
  }
}
