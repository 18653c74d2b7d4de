import type { Circuit } from '../electrics/circuit.ts';
import { type Prepared, prepare } from '../electrics/prepare.ts';
import type { Solution, Unsolved } from '../electrics/solution.ts';
import { solve } from '../electrics/solve.ts';
import type { IslandCircuit } from './to-circuit.ts';

/** Keeps the solutions of circuits seen lately by their content, so that an edit solves only what it changes. */
export class SolutionCache {
  private readonly kept = new Map<string, Solution | Unsolved>();
  private readonly most: number;
  /** How many circuits were really solved, and for how many of these a structure had to be found. */
  solved = 0;
  prepared = 0;

  constructor(most = 5000) {
    this.most = most;
  }

  /**
   * Solves one island under several conditions: the structure is found for the first that is not known yet, and each
   * further one starts from the solution before.
   */
  series(): (circuit: IslandCircuit) => Solution | Unsolved {
    let prepared: Prepared | undefined;
    return ({ circuit }) =>
      this.known(circuit, () => {
        if (!hasOneSolution(circuit)) {
          this.prepared++;
          return solve(circuit);
        }
        if (prepared === undefined) this.prepared++;
        const outcome = prepared?.solveWith(circuit);
        if (outcome?.status === 'solved') return outcome;
        prepared = prepare(circuit);
        return prepared.solve();
      });
  }

  /** Solves one circuit. */
  solve(circuit: IslandCircuit): Solution | Unsolved {
    return this.series()(circuit);
  }

  private known(circuit: Circuit, solveIt: () => Solution | Unsolved): Solution | Unsolved {
    const key = JSON.stringify(circuit);
    let outcome = this.kept.get(key);
    if (outcome === undefined) {
      outcome = solveIt();
      this.solved++;
      if (this.kept.size >= this.most) for (const old of this.kept.keys()) if (this.kept.delete(old)) break;
    } else {
      this.kept.delete(key);
    }
    this.kept.set(key, outcome);
    return outcome;
  }
}

/**
 * Converters hold their power, and may do so at more than one voltage: which one is found depends on the start. Such a
 * circuit always starts from its supplies' set voltages, so that a corner does not depend on the one before it.
 */
function hasOneSolution({ loads, stretches }: Circuit): boolean {
  const models = new Set([...loads.map(({ model }) => model), ...stretches.map(({ model }) => model)]);
  return [...models].every(({ channels }) => channels.every(({ kind }) => kind !== 'converter'));
}
