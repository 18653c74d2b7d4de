/** The solution of a network with a few elements cut, worked out from the solution before, and undone afterwards. */
import type { Circuit, Cut } from '../circuit.ts';
import type { Solution } from '../solution.ts';
import { type Described, darkStretch, describe } from './describe.ts';
import { findIslands } from './islands.ts';
import { openJournal } from './journal.ts';
import { findLoose, isFed, islandOf, level } from './loose.ts';
import { looseElements, type Network } from './network.ts';
import { settle, undoAll } from './settle.ts';
import { firstTerminal } from './structure.ts';

/** The same circuit with the cut elements made unusable: `validateCircuit` names them, `solve` leaves them out. */
export function circuitWithout(circuit: Circuit, cut: Cut): Circuit {
  const resistors = new Set(cut.resistors);
  const sources = new Set(cut.sources);
  return {
    ...circuit,
    resistors: circuit.resistors.map((r, id) => (resistors.has(id) ? { ...r, ohms: Infinity } : r)),
    sources: circuit.sources.map((s, id) => (sources.has(id) ? { ...s, volts: 0 } : s)),
  };
}

/** Undefined when Newton's method did not settle from the solution before the cut. */
export function solveCut(network: Network, before: Described, cut: Cut, precision: number): Solution | undefined {
  const { isLive } = network;
  const elements = elementsOf(network, cut);
  openJournal(network);
  // What is left out adds up over the rounds.
  network.precision = precision / 10;
  const { loose, largestAmps } = network;
  for (const e of elements) {
    isLive[e] = 0;
    network.changed.add(e);
  }
  const dead = loosen(network, elements);
  for (const crossing of network.loose) level(network, crossing);
  const { isSolved, iterations } = settle(network);
  let solution: Solution | undefined;
  if (isSolved) solution = darken(network, describe(network, iterations, before).solution, dead);
  for (const e of elements) isLive[e] = 1;
  network.loose = loose;
  network.precision = 0;
  network.largestAmps = largestAmps;
  undoAll(network);
  return solution;
}

/** The live elements of a cut, by element number. */
function elementsOf(network: Network, cut: Cut): number[] {
  const { structure, isLive, circuit } = network;
  const resistors = (cut.resistors ?? []).filter((row) => row >= 0 && row < circuit.rows.count);
  const sources = (cut.sources ?? []).filter((id) => id in circuit.sources);
  const elements = new Set([...resistors, ...sources.map((id) => structure.firstSource + id)]);
  return [...elements].filter((e) => isLive[e] === 1);
}

/**
 * Finds what the cut elements have set loose, for its level to be set. Returns the nodes that no source feeds now.
 * A single cut is followed from its two ends; for several at once the whole network is sorted again.
 */
function loosen(network: Network, elements: readonly number[]): ReadonlySet<number> {
  if (elements.length === 1) return loosenOne(network, elements[0]);
  const { usable, structure, isLive, circuit } = network;
  const { firstSource, firstLoad } = structure;
  const rest = { ...usable, resistor: isLive.slice(0, firstSource), source: isLive.slice(firstSource, firstLoad) };
  const islands = findIslands(circuit, rest);
  network.loose = looseElements(structure, islands);
  const dead = new Set<number>();
  islands.dead.forEach((isDead, node) => {
    if (isDead && !network.islands.dead[node]) dead.add(node);
  });
  return dead;
}

function loosenOne(network: Network, element: number): ReadonlySet<number> {
  const { terminalNode, firstSource } = network.structure;
  const t = firstTerminal(network.structure, element);
  const ends = [terminalNode[t], terminalNode[t + 1]] as const;
  const crossing = findLoose(network, ...ends);
  if (typeof crossing === 'number') network.loose = [...network.loose, crossing];
  const dead = new Set<number>();
  if (crossing === undefined && element < firstSource) return dead;
  for (const node of ends) {
    if (!dead.has(node) && !isFed(network, node)) for (const other of islandOf(network, node)) dead.add(other);
  }
  return dead;
}

/** Marks nodes that no source feeds, and their stretches dark. */
function darken(network: Network, solution: Solution, nodes: ReadonlySet<number>): Solution {
  for (const node of nodes) {
    solution.dead[node] = 1;
    solution.nodeVolts[node] = Number.NaN;
  }
  if (nodes.size === 0) return solution;
  const { circuit } = network;
  const isDark = (node: number) => solution.dead[node] === 1;
  circuit.rows.a.forEach((node, row) => {
    if (isDark(node)) solution.resistorAmps[row] = 0;
  });
  circuit.loads.forEach(({ positive }, id) => {
    if (isDark(positive)) solution.loadAmps[id] = solution.loadVolts[id] = 0;
  });
  const stretches = solution.stretches.map((summary, id) =>
    isDark(circuit.stretches[id].positiveStart) ? darkStretch : summary,
  );
  return { ...solution, stretches };
}
