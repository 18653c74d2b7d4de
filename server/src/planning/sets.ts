import type { Bound } from './bound.ts';
import type { Capacity } from './capacity.ts';
import type { Choice } from './choice.ts';
import { inOrder, type Spot } from './spots.ts';

/** What may still be spent on a search; it ends without a proof when this runs out. */
export interface Budget {
  /** Looks at the bound. */
  looks: number;
  /** Solutions of the real network. */
  trials: number;
}

/**
 * All sets of so many spots that the bound lets pass, in the order of the spots.
 *
 * Branch and bound: what is wanting with some spots is wanting near a place; the fewest spots around that place are found
 * without which even all others would leave it wanting. Every set that holds has one of these, so only these are tried
 * next. A spot that was tried is left out of its later brothers, so that no set comes twice.
 */
export class SpotSets {
  private readonly choice: Choice;
  private readonly bound: Bound | undefined;
  private readonly capacity: Capacity;
  private readonly budget: Budget;
  private most = Number.POSITIVE_INFINITY;

  constructor(choice: Choice, bound: Bound | undefined, capacity: Capacity, budget: Budget) {
    this.choice = choice;
    this.bound = bound;
    this.capacity = capacity;
    this.budget = budget;
  }

  /** Undefined where there are more than `most`, or where the budget ran out. The cable's fuse is not asked. */
  findSome(spots: readonly Spot[], count: number, most: number): Spot[][] | undefined {
    this.most = most + 1;
    const found: Spot[][] = [];
    return this.branch([], spots, count, found) && found.length <= most ? found : undefined;
  }

  /** Of some sets of so many spots, those that the bound lets pass. */
  among(sets: readonly (readonly Spot[])[], count: number): (readonly Spot[])[] {
    if (!this.capacity.isEnough(this.choice, count)) return [];
    this.budget.looks -= sets.length;
    return sets.filter((set) => this.bound?.wanting(this.choice, set) === undefined);
  }

  /** Undefined where the budget ran out. */
  find(spots: readonly Spot[], count: number): Spot[][] | undefined {
    const found: Spot[][] = [];
    if (!this.capacity.isEnough(this.choice, count)) return found;
    return this.branch([], spots, count, found) ? found : undefined;
  }

  private branch(set: readonly Spot[], left: readonly Spot[], count: number, found: Spot[][]): boolean {
    if (--this.budget.looks < 0) return false;
    if (set.length === count) {
      const isWanting = this.capacity.wanting(set) !== undefined || this.bound?.wanting(this.choice, set) !== undefined;
      if (!isWanting) found.push([...set]);
      return true;
    }
    if (set.length + left.length < count) return true;
    // With one to go, to try each costs less than to find out which are needed.
    const wanting = set.length === count - 1 ? undefined : this.wanting(set);
    const next = wanting === undefined ? left : this.needed(set, left, wanting);
    let open = left;
    for (const spot of next) {
      open = open.filter((other) => other !== spot);
      if (!this.branch(inOrder([...set, spot]), open, count, found)) return false;
      if (found.length >= this.most) return true;
    }
    return true;
  }

  /** The nearest spots of which one is needed; none where even all do not help. */
  private needed(chosen: readonly Spot[], left: readonly Spot[], place: number): Spot[] {
    const near = [...left].sort((a, b) => Math.abs(a.before - place) - Math.abs(b.before - place));
    const isWanting = (without: number) => {
      const spots = inOrder([...chosen, ...near.slice(without)]);
      // The work grows faster than the number of spots.
      this.budget.looks -= 1 + (spots.length * spots.length) / 256;
      return this.wanting(spots) !== undefined;
    };
    if (isWanting(0)) return [];
    let [holds, fails] = [0, near.length];
    while (fails - holds > 1) {
      const middle = (holds + fails) >> 1;
      if (isWanting(middle)) fails = middle;
      else holds = middle;
    }
    return near.slice(0, fails);
  }

  private wanting(spots: readonly Spot[]): number | undefined {
    return this.capacity.wanting(spots) ?? this.bound?.wantingWithin(this.choice, spots);
  }
}

/** All sets of so many spots. */
export function everySet(spots: readonly Spot[], count: number): Spot[][] {
  if (count === 0) return [[]];
  return spots.flatMap((spot, index) => everySet(spots.slice(index + 1), count - 1).map((rest) => [spot, ...rest]));
}
