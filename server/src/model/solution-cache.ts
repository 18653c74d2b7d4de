import { Recent } from '#grammar/recent.ts';
import type { Circuit } from '../electrics/circuit.ts';
import { circuitKey } from '../electrics/circuit-key.ts';
import { packed, unpacked } from '../electrics/pack.ts';
import { type Prepared, prepare } from '../electrics/prepare.ts';
import type { Solution, Unsolved } from '../electrics/solution.ts';
import { solve } from '../electrics/solve.ts';
import type { IslandCircuit } from './to-circuit.ts';

/** A solution as a row of numbers, or what kept it from being found. */
type Entry = Float64Array | Unsolved;

/** Keeps the solutions of circuits seen lately by their content, so that an edit solves only what it changes. */
export class SolutionCache {
  private readonly kept: Recent<string, Entry>;
  /** How many circuits were really solved, and for how many of these a structure had to be found. */
  solved = 0;
  prepared = 0;

  /** Up to `most` words of 8 bytes are kept. */
  constructor(most = 250_000) {
    this.kept = new Recent(most, weightOf);
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
    let outcome: Solution | Unsolved | undefined;
    const entry = this.kept.get(circuitKey(circuit), () => {
      outcome = solveIt();
      this.solved++;
      return outcome.status === 'solved' ? packed(outcome) : outcome;
    });
    if (outcome !== undefined) return outcome;
    return entry instanceof Float64Array ? unpacked(entry, circuit) : entry;
  }
}

/** Words of 8 bytes that an entry takes, about: its numbers, and what holds them. */
function weightOf(entry: Entry): number {
  return ENTRY + (entry instanceof Float64Array ? entry.length : 0);
}

const ENTRY = 40;

/**
 * Converters hold their power, and may do so at more than one voltage: which one is found depends on the start. Such a
 * circuit always starts from its supplies' set voltages, so that a corner does not depend on the one before it.
 */
function hasOneSolution({ loads, stretches }: Circuit): boolean {
  const models = new Set([...loads.map(({ model }) => model), ...stretches.map(({ model }) => model)]);
  return [...models].every(({ channels }) => channels.every(({ kind }) => kind !== 'converter'));
}
