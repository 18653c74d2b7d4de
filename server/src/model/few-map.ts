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

/** A map of a few entries: keys and values in turns, looked through in order. */
class FewMap<K, V> implements ReadonlyMap<K, V> {
  private readonly list: readonly (K | V)[];

  constructor(map: ReadonlyMap<K, V>) {
    const list = new Array<K | V>(2 * map.size);
    let at = 0;
    map.forEach((value, key) => {
      list[at++] = key;
      list[at++] = value;
    });
    this.list = list;
  }

  get size(): number {
    return this.list.length / 2;
  }

  get(key: K): V | undefined {
    for (let at = 0; at < this.list.length; at += 2) if (this.list[at] === key) return this.list[at + 1] as V;
    return undefined;
  }

  has(key: K): boolean {
    for (let at = 0; at < this.list.length; at += 2) if (this.list[at] === key) return true;
    return false;
  }

  forEach(visit: (value: V, key: K, map: ReadonlyMap<K, V>) => void): void {
    for (let at = 0; at < this.list.length; at += 2) visit(this.list[at + 1] as V, this.list[at] as K, this);
  }

  *keys(): MapIterator<K> {
    for (let at = 0; at < this.list.length; at += 2) yield this.list[at] as K;
  }

  *values(): MapIterator<V> {
    for (let at = 1; at < this.list.length; at += 2) yield this.list[at] as V;
  }

  *entries(): MapIterator<[K, V]> {
    for (let at = 0; at < this.list.length; at += 2) yield [this.list[at] as K, this.list[at + 1] as V];
  }

  [Symbol.iterator](): MapIterator<[K, V]> {
    return this.entries();
  }
}
