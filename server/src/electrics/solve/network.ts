/** A circuit made ready for solving: its structure, found once, and the state that a solution is worked out in. */
import type { Chain, ChainScratch } from './chain-state.ts';
import { newChain, newChainScratch } from './chain-state.ts';
import { IndexSet } from './index-set.ts';
import { findIslands, type Islands } from './islands.ts';
import type { Journal } from './journal-record.ts';
import type { LdlFactor } from './ldl-block.ts';
import { newLdlFactor } from './ldl-block.ts';
import type { LoadCurve } from './load-curve.ts';
import { compileLoadCurve } from './load-curve.ts';
import { none } from './none.ts';
import { putRegulated, regulatedSize, regulation } from './regulated.ts';
import type { RowCircuit } from './series.ts';
import { buildStructure, firstTerminal, type JointStructure } from './structure.ts';
import type { Usable } from './usable.ts';

export interface Network {
  circuit: RowCircuit;
  readonly usable: Usable;
  readonly islands: Islands;
  readonly structure: JointStructure;
  loadCurves: readonly LoadCurve[];
  /** The load curve of each stretch, and its pixels from when some of them may first be below the knee. */
  curves: readonly LoadCurve[];
  readonly chains: (Chain | undefined)[];
  /** S of each resistor. */
  readonly resistorSiemens: Float64Array;
  /** The numbers of each stretch in regulation, and whether it is (see `regulated.ts`). */
  readonly regulatedTable: Float64Array;
  readonly regulated: Uint8Array;
  scratch: ChainScratch;
  readonly factor: LdlFactor;
  /** Moves below this need no visit, V; 0 while a solution is worked out in full. */
  precision: number;
  /** The highest set voltage, V: what steps are measured against. */
  highestVolts: number;

  /** 1 where the element takes part: valid, in a fed island, not cut. */
  readonly isLive: Uint8Array;
  /** Loads that cross from a part that hangs on loads alone (see `loose.ts`): their element numbers. */
  loose: readonly number[];
  /** V of each node; NaN where dead. */
  readonly volts: Float64Array;
  /** Current from the node into the element at each terminal, A. */
  readonly flow: Float64Array;
  /** Sum of the flows at each node, A: zero when the network is solved. */
  readonly excess: Float64Array;
  /** Conductance of each branch at the present volts, and as last factored (NaN: never), S. */
  readonly siemens: Float64Array;
  readonly factored: Float64Array;
  /** Falling loads count as flat while this is set. */
  isRising: boolean;
  /** The largest current that any element had, A: what residuals are measured against. */
  largestAmps: number;
  /** Stretches of which pixels were solved for: those among them that did not settle are looked for here. */
  readonly unsettled: IndexSet;

  /** Elements whose flows and conductances are out of date. */
  readonly changed: IndexSet;
  /** Nodes whose excess is out of date. */
  readonly stale: IndexSet;
  /** Elements whose conductances differ from the factored ones, and their rows. */
  readonly dirty: IndexSet;
  readonly dirtyRows: IndexSet;
  /** Rows that may be out of balance. */
  readonly active: IndexSet;
  /** Rows that the present step moves, and by how much, V. */
  readonly moved: IndexSet;
  readonly step: Float64Array;
  /** Node sets for walks through the network. */
  readonly sides: readonly [IndexSet, IndexSet];
  /** While set, what changes is written down here first, to be put back later. */
  journal: Journal | null;
}

/** Makes ready a circuit of which these elements are usable. */
export function buildNetwork(circuit: RowCircuit, usable: Usable): Network {
  const islands = findIslands(circuit, usable);
  const structure = buildStructure(circuit, usable, islands);
  const { nodeCount } = circuit;
  const { n } = structure.ldl;
  const { elementCount, firstStretch } = structure;
  const branchCount = firstStretch + 6 * circuit.stretches.length;
  const network: Network = {
    circuit,
    usable,
    islands,
    structure,
    loadCurves: [],
    curves: [],
    chains: new Array<Chain | undefined>(circuit.stretches.length).fill(undefined),
    resistorSiemens: new Float64Array(circuit.rows.count),
    regulatedTable: new Float64Array(regulatedSize * circuit.stretches.length),
    regulated: new Uint8Array(circuit.stretches.length),
    scratch: newChainScratch(0),
    factor: newLdlFactor(structure.ldl),
    precision: 0,
    highestVolts: NaN,
    isLive: new Uint8Array(elementCount),
    loose: looseElements(structure, islands),
    volts: islands.guess,
    flow: new Float64Array(structure.terminalNode.length),
    excess: new Float64Array(nodeCount),
    siemens: new Float64Array(branchCount),
    factored: new Float64Array(branchCount).fill(Number.NaN),
    isRising: false,
    largestAmps: NaN,
    unsettled: new IndexSet(elementCount),
    changed: new IndexSet(elementCount),
    stale: new IndexSet(nodeCount),
    dirty: new IndexSet(elementCount),
    dirtyRows: new IndexSet(n),
    active: new IndexSet(n),
    moved: new IndexSet(n),
    step: new Float64Array(n),
    sides: [new IndexSet(nodeCount), new IndexSet(nodeCount)],
    journal: null,
  };
  for (let e = 0; e < elementCount; e++) {
    network.isLive[e] = structure.terminalNode[firstTerminal(structure, e)] === none ? 0 : 1;
  }
  takeNumbers(network, circuit);
  return network;
}

/** The element numbers of the loads that alone tie some part to the rest. */
export function looseElements(structure: JointStructure, { loose }: Islands): number[] {
  const { firstLoad, firstStretch } = structure;
  return [...loose.loads.map((id) => firstLoad + id), ...loose.stretches.map((id) => firstStretch + id)];
}

/** Takes over the numbers of a circuit that has the same elements at the same nodes. Keeps the volts as a start. */
export function takeNumbers(network: Network, circuit: RowCircuit): void {
  const { structure, isLive, chains, resistorSiemens, regulatedTable, regulated } = network;
  network.circuit = circuit;
  for (let e = 0; e < resistorSiemens.length; e++) resistorSiemens[e] = 1 / circuit.rows.ohms[e];
  network.loadCurves = circuit.loads.map((load, id) =>
    isLive[structure.firstLoad + id] ? compileLoadCurve(load.model, load.scale) : noCurve,
  );
  network.curves = circuit.stretches.map(({ model, scale }, id) =>
    isLive[structure.firstStretch + id] ? compileLoadCurve(model, scale) : noCurve,
  );
  let longest = 0;
  let pixels = 0;
  for (let id = 0; id < circuit.stretches.length; id++) {
    const stretch = circuit.stretches[id];
    if (isLive[structure.firstStretch + id] === 1) {
      longest = Math.max(longest, stretch.count);
      pixels += stretch.count;
    }
    const before = chains[id];
    chains[id] = undefined;
    putRegulated(regulatedTable, id * regulatedSize, stretch, network.curves[id]);
    regulated[id] = regulation.closed;
    if (before !== undefined && before.count === stretch.count && before.first <= before.last) {
      const { first, last, volts } = before;
      Object.assign(chainOf(network, id), { first, last, volts });
      regulated[id] = regulation.open;
    }
  }
  if (network.scratch.inverse.length <= longest) network.scratch = newChainScratch(longest);
  network.scratch.mostWork = leastWork + workPerPixel * pixels;
  network.highestVolts = 0;
  circuit.sources.forEach(({ volts }, id) => {
    if (isLive[structure.firstSource + id]) network.highestVolts = Math.max(network.highestVolts, volts);
  });
  network.largestAmps = 0;
  network.changed.addAll();
  network.active.addAll();
}

/** The pixels of a stretch, all in regulation where nobody has looked yet. */
export function chainOf(network: Network, id: number): Chain {
  const known = network.chains[id];
  if (known !== undefined) return known;
  const { count, positiveOhms, negativeOhms } = network.circuit.stretches[id];
  const chain = newChain(count, positiveOhms + negativeOhms, network.curves[id]);
  network.chains[id] = chain;
  return chain;
}

/**
 * A solution may visit this many pixels: a display needs some ten visits each. What needs far more is none (a million
 * pixels fed from one end), and gets no answer rather than a late one.
 */
const workPerPixel = 100;
const leastWork = 1e7;

const noCurve = compileLoadCurve({ quiescentAmps: 0, quiescentVolts: 1, channels: [] }, 0);
