import { Recent } from '#grammar/recent.ts';
import type { Solution, Unsolved } from '../electrics/solution.ts';
import type { Island } from './islands.ts';
import type { IslandCircuit } from './to-circuit.ts';

export interface SolvedIsland {
  readonly island: Island;
  readonly circuit: IslandCircuit;
  readonly outcome: Solution | Unsolved;
}

type Made = Pick<SolvedIsland, 'circuit' | 'outcome'>;

/**
 * An island whose circuit and solution are made when they are asked for. What a plan needs of them all stands in its account; the circuits themselves,
 * most of a large plan's memory, are kept for the islands that were asked about last and made again for the others.
 */
export class LazyIsland implements SolvedIsland {
  readonly island: Island;
  private readonly make: (island: Island) => Made;

  /** `made` is what stands now, `make` gives it again. */
  constructor(island: Island, made: Made, make: (island: Island) => Made) {
    this.island = island;
    this.make = make;
    LATEST.get(this, () => made);
  }

  get circuit(): IslandCircuit {
    return this.made().circuit;
  }

  get outcome(): Solution | Unsolved {
    return this.made().outcome;
  }

  private made(): Made {
    return LATEST.get(this, () => this.make(this.island));
  }
}

/** Of so many islands. What is made for a key and kept for longer than the next few costs more to keep than to make again. */
const LATEST = new Recent<LazyIsland, Made>(8, () => 1);
