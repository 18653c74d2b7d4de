/**
 * Keeps what was made for the things that were asked for last. For what is large and quickly made again, the tree of a
 * declaration or the circuit of an island: a plan holds thousands of them, and a person looks at a few at a time.
 */
export class Recent<K extends object, V> {
  private readonly kept = new Map<K, V>();
  private readonly most: number;
  private readonly weigh: (value: V, key: K) => number;
  private weight = 0;

  /** Keeps up to a weight, and what was asked for last whatever it weighs. */
  constructor(most: number, weigh: (value: V, key: K) => number) {
    this.most = most;
    this.weigh = weigh;
  }

  get(key: K, make: () => V): V {
    const before = this.kept.get(key);
    if (before !== undefined) this.kept.delete(key);
    const value = before ?? make();
    if (before === undefined) this.weight += this.weigh(value, key);
    this.kept.set(key, value);
    this.forget();
    return value;
  }

  private forget(): void {
    for (const [key, value] of this.kept) {
      if (this.weight <= this.most || this.kept.size === 1) break;
      this.kept.delete(key);
      this.weight -= this.weigh(value, key);
    }
  }
}
