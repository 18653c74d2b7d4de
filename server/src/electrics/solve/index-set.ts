/** A set of whole numbers 0 .. n - 1 that is quick to fill, walk and empty, whatever n is. */
export class IndexSet {
  /** The members at 0 .. size - 1, in the order in which they came; after `addAll` from the least on. */
  readonly items: Int32Array;
  size = 0;
  private readonly mark: Uint8Array;

  constructor(n: number) {
    this.items = new Int32Array(n);
    this.mark = new Uint8Array(n);
  }

  has(i: number): boolean {
    return this.mark[i] === 1;
  }

  add(i: number): void {
    if (this.mark[i] === 1) return;
    this.mark[i] = 1;
    this.items[this.size++] = i;
  }

  addAll(): void {
    for (let i = 0; i < this.items.length; i++) this.items[i] = i;
    this.mark.fill(1);
    this.size = this.items.length;
  }

  /** Puts the members in order, from the least on. */
  sort(): void {
    if (this.isLarge()) {
      let size = 0;
      for (let i = 0; i < this.items.length; i++) if (this.mark[i] === 1) this.items[size++] = i;
    } else this.items.subarray(0, this.size).sort();
  }

  clear(): void {
    if (this.isLarge()) this.mark.fill(0);
    else for (let k = 0; k < this.size; k++) this.mark[this.items[k]] = 0;
    this.size = 0;
  }

  /** Whether so many are in that work on all of them in order is quicker than work on each. */
  isLarge(): boolean {
    return 4 * this.size > this.items.length;
  }
}
