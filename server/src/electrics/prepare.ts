/** One network solved many times: other numbers (corners, looks), or a few elements cut (faults). */
import type { Circuit, Cut } from './circuit.ts';
import type { Solution, Unsolved } from './solution.ts';
import { circuitWithout, solveCut } from './solve/cut.ts';
import { type Described, describe } from './solve/describe.ts';
import { buildNetwork, type Network, takeNumbers } from './solve/network.ts';
import { worstRow } from './solve/newton.ts';
import { none } from './solve/none.ts';
import { findSeries, type Series, spreadSeries, withNumbers } from './solve/series.ts';
import { settle } from './solve/settle.ts';
import { isSameShape, type Usable, usableElements } from './solve/usable.ts';

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
  let ready = makeReady(circuit);
  let base: Base | Unsolved | undefined;
  const current = () => {
    base ??= ready === undefined ? hopeless : solveBase(ready);
    if (ready !== undefined && 'status' in base && hasShortcuts(ready)) {
      ready = makePlain(ready);
      base = solveBase(ready);
    }
    return base;
  };
  return {
    solve: () => solutionOf(current()),
    solveWith(other) {
      ready = (ready && takeOver(ready, other)) ?? makeReady(other);
      base = undefined;
      return solutionOf(current());
    },
    solveWithout(cut, precision = 0) {
      const before = current();
      if (ready === undefined) return hopeless;
      const rows = rowCut(ready.series, cut);
      const changed = 'status' in before ? undefined : solveCut(ready.network, before, rows, precision);
      if (changed === undefined) return prepare(circuitWithout(ready.circuit, cut)).solve();
      const cutResistors = new Set(cut.resistors);
      return spreadSeries(ready.series, ready.circuit, changed, (resistor) => cutResistors.has(resistor));
    },
  };
}

interface Ready {
  readonly circuit: Circuit;
  readonly usable: Usable;
  readonly series: Series;
  readonly network: Network;
}

/** The solution of the rows, from which cuts start, and what it means for all resistors. */
interface Base extends Described {
  readonly spread: Solution;
}

const hopeless: Unsolved = { status: 'diverged', node: 0, residualAmps: Infinity, iterations: 0 };

/** Undefined when the circuit as a whole cannot be solved (see `validateCircuit`). */
function makeReady(circuit: Circuit): Ready | undefined {
  const usable = usableElements(circuit);
  if (usable === undefined) return undefined;
  const series = findSeries(circuit, usable);
  return { circuit, usable, series, network: networkOf(usable, series) };
}

function networkOf(usable: Usable, { circuit }: Series): Network {
  return buildNetwork(circuit, { ...usable, resistor: new Uint8Array(circuit.rows.count).fill(1) });
}

/** Whether any pixels were found by a quicker way than the surest. */
function hasShortcuts({ network }: Ready): boolean {
  return !network.scratch.isPlain && network.chains.some((chain) => chain?.curve.isMonotone === true);
}

/** The same from the start again, the surest way: for the odd circuit on which the quicker ones lead astray. */
function makePlain(ready: Ready): Ready {
  const network = networkOf(ready.usable, ready.series);
  network.scratch.isPlain = true;
  return { ...ready, network };
}

/** The same with the numbers of another circuit; undefined when its elements or nodes differ. */
function takeOver(ready: Ready, circuit: Circuit): Ready | undefined {
  const usable = usableElements(circuit);
  if (usable === undefined || !isSameShape(ready.circuit, ready.usable, circuit, usable)) return undefined;
  const series = withNumbers(ready.series, circuit);
  takeNumbers(ready.network, series.circuit);
  return { ...ready, circuit, series };
}

function solveBase({ circuit, series, network }: Ready): Base | Unsolved {
  const { isSolved, iterations } = settle(network);
  if (!isSolved) {
    return { status: 'diverged', ...worstPlace(network), iterations };
  }
  const described = describe(network, iterations);
  network.active.clear();
  const spread = spreadSeries(series, circuit, described.solution, () => false);
  return { ...described, spread };
}

/** The joint to name: at an end of a stretch whose pixels did not settle, if there is one, else the worst of all. */
function worstPlace(network: Network): { node: number; residualAmps: number } {
  const { unsettled, chains, excess, structure, circuit } = network;
  let node = none;
  for (let k = 0; k < unsettled.size; k++) {
    const id = unsettled.items[k] - structure.firstStretch;
    if (chains[id]?.isSettled !== false) continue;
    const { positiveStart, negativeStart, positiveEnd, negativeEnd } = circuit.stretches[id];
    for (const end of [positiveEnd, negativeEnd, positiveStart, negativeStart]) {
      if (node === none || Math.abs(excess[end]) > Math.abs(excess[node])) node = end;
    }
  }
  if (node !== none) return { node, residualAmps: Math.abs(excess[node]) };
  const { row, amps } = worstRow(network);
  return { node: structure.nodeOf[row] ?? 0, residualAmps: amps };
}

/** A row of resistors is cut when one of them is. */
function rowCut({ rowOf }: Series, cut: Cut): Cut {
  const rows = (cut.resistors ?? []).map((resistor) => rowOf[resistor] ?? none).filter((row) => row !== none);
  return { ...cut, resistors: rows };
}

function solutionOf(outcome: Base | Unsolved): Solution | Unsolved {
  return 'status' in outcome ? outcome : outcome.spread;
}
