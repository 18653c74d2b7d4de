/**
 * Keeps what was made for the things that were asked for last. For what is large and quickly made again, the tree of a
 * declaration or the circuit of an island: a plan holds thousands of them, and a person looks at a few at a time.
 */
export class Recent<K extends object, V> {
  private readonly kept = new Map<K, V>();
  private readonly most: number;

  constructor(most: number) {
    this.most = most;
  }

  get(key: K, make: () => V): V {
    const before = this.kept.get(key);
    if (before !== undefined) this.kept.delete(key);
    const value = before ?? make();
    this.kept.set(key, value);
    if (this.kept.size > this.most) for (const oldest of this.kept.keys()) if (this.kept.delete(oldest)) break;
    return value;
  }
}
