/** One network solved many times: other numbers (corners, looks), or a few elements cut (faults). */
import type { Circuit, Cut } from './circuit.ts';
import type { Solution, Unsolved } from './solution.ts';
import { circuitWithout, solveCut } from './solve/cut.ts';
import { type Described, describe } from './solve/describe.ts';
import { buildNetwork, fitsNetwork, type Network, takeNumbers } from './solve/network.ts';
import { worstRow } from './solve/newton.ts';
import { settle } from './solve/settle.ts';

export interface Prepared {
  /** The solution of the circuit as it stands (see `solve`). */
  solve(): Solution | Unsolved;
  /**
   * Takes over the numbers of another circuit and solves it, starting from the last solution. Where the elements or
   * their nodes differ, this is the same as preparing that circuit anew.
   */
  solveWith(circuit: Circuit): Solution | Unsolved;
  /**
   * The solution with some elements cut; the circuit itself stays as it is. Only the neighbourhood of the cut is worked
   * on. A part that the cut leaves without any source is `dead`; one that only its loads still tie to the rest is at
   * 0 V across them. Ids out of range are passed over.
   *
   * With a `precision` in volts, what moves by less may be left out: many times faster where the cut is felt only near
   * by. Voltages are then good to about that much, and `currentResidual` says what that means for currents.
   */
  solveWithout(cut: Cut, precision?: number): Solution | Unsolved;
}

/** Finds the structure of a circuit once, for any number of solutions. Never throws. */
export function prepare(circuit: Circuit): Prepared {
  let network = buildNetwork(circuit);
  let base: Described | Unsolved | undefined;

  const solveBase = (): Described | Unsolved => {
    if (network === undefined) return { status: 'diverged', node: 0, residualAmps: Infinity, iterations: 0 };
    const { isSolved, iterations } = settle(network);
    const outcome = isSolved ? describe(network, iterations) : unsolved(network, iterations);
    if (isSolved) network.active.clear();
    return outcome;
  };
  const current = () => {
    base ??= solveBase();
    return base;
  };
  return {
    solve: () => solutionOf(current()),
    solveWith(other) {
      if (network !== undefined && fitsNetwork(network, other)) takeNumbers(network, other);
      else network = buildNetwork(other);
      base = undefined;
      return solutionOf(current());
    },
    solveWithout(cut, precision = 0) {
      const before = current();
      const changed =
        network === undefined || 'status' in before ? undefined : solveCut(network, before, cut, precision);
      return changed ?? prepare(circuitWithout(network?.circuit ?? circuit, cut)).solve();
    },
  };
}

function solutionOf(outcome: Described | Unsolved): Solution | Unsolved {
  return 'status' in outcome ? outcome : outcome.solution;
}

function unsolved(network: Network, iterations: number): Unsolved {
  const { row, amps } = worstRow(network);
  return { status: 'diverged', node: network.structure.nodeOf[row] ?? 0, residualAmps: amps, iterations };
}
