import { type Choice, type Cost, compareCosts } from './choice.ts';
import type { Site } from './site.ts';
import type { Spot } from './spots.ts';

/** What is still open, cheapest first; of equals what came first. */
export class OpenChoices {
  private readonly list: Open[];

  constructor(first: readonly Open[]) {
    this.list = [...first].sort((a, b) => compareCosts(a.cost, b.cost));
  }

  shift(): Open | undefined {
    return this.list.shift();
  }

  add(more: readonly Open[]): void {
    for (const one of more) {
      let [low, high] = [0, this.list.length];
      while (low < high) {
        const middle = (low + high) >> 1;
        const other = this.list[middle];
        if (other !== undefined && compareCosts(other.cost, one.cost) <= 0) low = middle + 1;
        else high = middle;
      }
      this.list.splice(low, 0, one);
    }
  }

  costs(): Cost[] {
    return this.list.map(({ cost }) => cost);
  }
}

/** Sets of so many taps of one choice that are still to be looked for or tried. */
export interface Open {
  readonly choice: Choice;
  readonly site: Site;
  readonly count: number;
  /** The sets of so many places that the bound lets pass, cheapest first; undefined before they have been looked for. */
  readonly sets?: readonly Ranked[];
  /** The least that an answer of these can cost. */
  readonly cost: Cost;
}

export interface Ranked {
  readonly spots: readonly Spot[];
  readonly cost: Cost;
}
