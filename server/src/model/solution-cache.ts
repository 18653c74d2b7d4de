import type { Solution, Unsolved } from '../electrics/solution.ts';
import { solve } from '../electrics/solve.ts';
import type { IslandCircuit } from './to-circuit.ts';

/** Keeps the solutions of circuits seen lately by their content, so that an edit solves only what it changes. */
export class SolutionCache {
  private readonly kept = new Map<string, Solution | Unsolved>();
  private readonly most: number;
  /** How many circuits were really solved. */
  solved = 0;

  constructor(most = 5000) {
    this.most = most;
  }

  solve(circuit: IslandCircuit): Solution | Unsolved {
    const key = JSON.stringify(circuit.circuit);
    let outcome = this.kept.get(key);
    if (outcome === undefined) {
      outcome = solve(circuit.circuit);
      this.solved++;
      if (this.kept.size >= this.most) for (const old of this.kept.keys()) if (this.kept.delete(old)) break;
    } else {
      this.kept.delete(key);
    }
    this.kept.set(key, outcome);
    return outcome;
  }
}
