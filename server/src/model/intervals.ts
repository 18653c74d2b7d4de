import { sure } from '#grammar/sure.ts';

/** Whole numbers from one on and before another. */
interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Whole numbers, such as slots that are taken, as stretches in order that do not touch. */
export class Intervals {
  private list: Stretch[] = [];

  get stretches(): readonly Stretch[] {
    return this.list;
  }

  add(from: number, to: number): void {
    // Most runs follow the one before.
    const end = this.list.at(-1);
    if (end === undefined || from > end.to) return void this.list.push({ from, to });
    let first = this.behind(from);
    if ((this.list[first - 1]?.to ?? -1) >= from) first--;
    let last = first;
    let [low, high] = [from, to];
    for (let next = this.list[last]; next !== undefined && next.from <= high; next = this.list[++last]) {
      low = Math.min(low, next.from);
      high = Math.max(high, next.to);
    }
    this.list.splice(first, last - first, { from: low, to: high });
  }

  copy(): Intervals {
    const copy = new Intervals();
    copy.list = [...this.list];
    return copy;
  }

  /** The end of a stretch that lies over some numbers; undefined where they are free. */
  endOver({ from, to }: Stretch): number | undefined {
    const last = this.list[this.behind(to - 1) - 1];
    return last !== undefined && last.to > from ? last.to : undefined;
  }

  /** How many stretches start at a number or before it. */
  private behind(from: number): number {
    let [low, high] = [0, this.list.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sure(this.list[middle]).from <= from) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}
