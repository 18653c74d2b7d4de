/**
 * Keeps what was made for the things that were asked for last. For what is large and quickly made again, the tree of a
 * declaration or the circuit of an island: a plan holds thousands of them, and a person looks at a few at a time.
 *
 * What is asked for stands in one of two maps; when the newer one is half of all that may be kept, it becomes the older
 * one, which is dropped. Nothing is ever taken out of a map: the tables that a map leaves behind as it loses and gains keys
 * hold on to what stood in them until the whole heap is collected.
 */
export class Recent<K, V> {
  private fresh = new Map<K, V>();
  private aged = new Map<K, V>();
  private readonly most: number;
  private readonly weigh: (value: V, key: K) => number;
  /** Of what is fresh. */
  private weight = 0;

  /** Keeps up to a weight, and what was asked for last whatever it weighs; what was asked for lately up to half of it at least. */
  constructor(most: number, weigh: (value: V, key: K) => number) {
    this.most = most;
    this.weigh = weigh;
  }

  get(key: K, make: () => V): V {
    const kept = this.fresh.get(key);
    if (kept !== undefined) return kept;
    const value = this.aged.get(key) ?? make();
    const weight = this.weigh(value, key);
    if (this.weight > 0 && this.weight + weight > this.most / 2) {
      this.aged = this.fresh;
      this.fresh = new Map();
      this.weight = 0;
    }
    this.fresh.set(key, value);
    this.weight += weight;
    return value;
  }
}
