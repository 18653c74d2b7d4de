/** Maps one behind the other, with keys of their own, as one map. They are put into one only when that is needed. */
export class JoinedMap<K, V> implements ReadonlyMap<K, V> {
  private readonly maps: () => readonly ReadonlyMap<K, V>[];
  private readonly mapOf: (key: K) => ReadonlyMap<K, V> | undefined;
  private made: ReadonlyMap<K, V> | undefined;

  /** `mapOf` gives the map in which a key should be, where that is known. */
  constructor(maps: () => readonly ReadonlyMap<K, V>[], mapOf: (key: K) => ReadonlyMap<K, V> | undefined) {
    this.maps = maps;
    this.mapOf = mapOf;
  }

  get(key: K): V | undefined {
    return (this.made === undefined ? this.mapOf(key)?.get(key) : undefined) ?? this.all().get(key);
  }

  has(key: K): boolean {
    return this.get(key) !== undefined;
  }

  get size(): number {
    return this.maps().reduce((sum, { size }) => sum + size, 0);
  }

  forEach(visit: (value: V, key: K, map: ReadonlyMap<K, V>) => void): void {
    for (const [key, value] of this) visit(value, key, this);
  }

  entries(): MapIterator<[K, V]> {
    return this.all().entries();
  }

  keys(): MapIterator<K> {
    return this.all().keys();
  }

  values(): MapIterator<V> {
    return this.all().values();
  }

  [Symbol.iterator](): MapIterator<[K, V]> {
    return this.entries();
  }

  private all(): ReadonlyMap<K, V> {
    this.made ??= joined(this.maps());
    return this.made;
  }
}

function joined<K, V>(maps: readonly ReadonlyMap<K, V>[]): ReadonlyMap<K, V> {
  const [only] = maps;
  if (maps.length === 1 && only !== undefined) return only;
  const all = new Map<K, V>();
  for (const map of maps) for (const [key, value] of map) all.set(key, value);
  return all;
}
