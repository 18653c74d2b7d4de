/** Reads a solution off the network's state, and weighs the power that goes in against the power that comes out. */
import type { Solution, StretchSummary } from '../solution.ts';
import { newChainReport, reportChain, reportRegulated } from './chain-report.ts';
import type { Network } from './network.ts';
import { worstRow } from './newton.ts';
import { none } from './none.ts';
import { firstTerminal } from './structure.ts';

/** A solution with what a later one, of the same network with a few elements cut, is read off from. */
export interface Described {
  readonly solution: Solution;
  /** Power that each element takes up, W; below zero for what a source delivers. */
  readonly watts: Float64Array;
}

/** Residuals are relative to the circuit's largest current, A, and power, W, but where nothing flows to this. */
const leastScale = 1e-3;

/** The arrays of a solution while they are filled. */
interface Draft {
  readonly nodeVolts: Float64Array;
  readonly resistorAmps: Float64Array;
  readonly sourceAmps: Float64Array;
  readonly sourceLimited: Uint8Array;
  readonly loadAmps: Float64Array;
  readonly loadVolts: Float64Array;
  readonly stretches: StretchSummary[];
  readonly watts: Float64Array;
  worstExcess: number;
}

/** Describes all elements, or, given the description before a change, those that the change has reached. */
export function describe(network: Network, iterations: number, before?: Described): Described {
  const { structure, islands, journal, volts } = network;
  const draft = before === undefined ? emptyDraft(network) : copyOf(before, network);
  draft.nodeVolts.set(volts);
  if (before === undefined || journal === null) {
    for (let e = 0; e < structure.elementCount; e++) describeElement(network, e, draft);
  } else {
    for (let k = 0; k < journal.elements.size; k++) describeElement(network, journal.elements.items[k], draft);
  }
  let supplied = 0;
  let used = 0;
  for (const watts of draft.watts) {
    if (watts > 0) used += watts;
    else supplied -= watts;
  }
  const worst = Math.max(draft.worstExcess, worstRow(network).amps);
  const solution: Solution = {
    status: 'solved',
    nodeVolts: draft.nodeVolts,
    resistorAmps: draft.resistorAmps,
    sourceAmps: draft.sourceAmps,
    sourceLimited: draft.sourceLimited,
    loadAmps: draft.loadAmps,
    loadVolts: draft.loadVolts,
    dead: islands.dead.slice(),
    stretches: draft.stretches,
    iterations,
    currentResidual: worst / Math.max(network.largestAmps, leastScale),
    powerResidual: Math.abs(supplied - used) / Math.max(supplied, used, leastScale),
  };
  return { solution, watts: draft.watts };
}

/** What is said of a stretch without a source. */
export const darkStretch: StretchSummary = {
  leastVolts: 0,
  leastPixel: 1,
  positiveStartAmps: 0,
  positiveEndAmps: 0,
  negativeStartAmps: 0,
  negativeEndAmps: 0,
  amps: 0,
};

function emptyDraft(network: Network): Draft {
  const { nodeCount, rows, sources, loads, stretches } = network.circuit;
  return {
    nodeVolts: new Float64Array(nodeCount),
    resistorAmps: new Float64Array(rows.count),
    sourceAmps: new Float64Array(sources.length),
    sourceLimited: new Uint8Array(sources.length),
    loadAmps: new Float64Array(loads.length),
    loadVolts: new Float64Array(loads.length),
    stretches: stretches.map(() => darkStretch),
    watts: new Float64Array(network.structure.elementCount),
    worstExcess: 0,
  };
}

function copyOf({ solution, watts }: Described, network: Network): Draft {
  return {
    nodeVolts: solution.nodeVolts.slice(),
    resistorAmps: solution.resistorAmps.slice(),
    sourceAmps: solution.sourceAmps.slice(),
    sourceLimited: solution.sourceLimited.slice(),
    loadAmps: solution.loadAmps.slice(),
    loadVolts: solution.loadVolts.slice(),
    stretches: solution.stretches.slice(),
    watts: watts.slice(),
    worstExcess: solution.currentResidual * network.largestAmps,
  };
}

function describeElement(network: Network, e: number, draft: Draft): void {
  const { structure, isLive, volts, flow, circuit } = network;
  const { firstSource, firstLoad, firstStretch, terminalNode } = structure;
  const t = firstTerminal(structure, e);
  if (terminalNode[t] === none) return;
  if (e >= firstStretch) {
    describeStretch(network, e - firstStretch, t, draft);
    return;
  }
  const across = volts[terminalNode[t]] - volts[terminalNode[t + 1]];
  const amps = flow[t];
  draft.watts[e] = amps * across;
  if (e < firstSource) {
    draft.resistorAmps[e] = amps;
  } else if (e < firstLoad) {
    const id = e - firstSource;
    draft.sourceAmps[id] = amps === 0 ? 0 : -amps;
    draft.sourceLimited[id] = isLive[e] && -amps >= circuit.sources[id].maxAmps ? 1 : 0;
  } else {
    draft.loadAmps[e - firstLoad] = amps;
    draft.loadVolts[e - firstLoad] = across;
  }
}

/** What is found of the stretch at hand: one for all, to leave no garbage. */
const report = newChainReport();

function describeStretch(network: Network, id: number, t: number, draft: Draft): void {
  const { structure, volts, flow, chains, curves, circuit, scratch } = network;
  const { terminalNode, firstStretch } = structure;
  const { count, positiveOhms, negativeOhms } = circuit.stretches[id];
  const chain = chains[id];
  const ohms = positiveOhms + negativeOhms;
  const start = volts[terminalNode[t]] - volts[terminalNode[t + 1]];
  const end = volts[terminalNode[t + 2]] - volts[terminalNode[t + 3]];
  if (chain === undefined) reportRegulated(report, count, ohms, curves[id], start, end);
  else reportChain(report, chain, start, end, scratch);
  const summary: StretchSummary = {
    leastVolts: report.leastVolts,
    leastPixel: report.leastPixel,
    positiveStartAmps: flow[t],
    positiveEndAmps: -flow[t + 2],
    negativeStartAmps: flow[t + 1],
    negativeEndAmps: -flow[t + 3],
    amps: report.amps,
  };
  const isKept = chain !== undefined && chain.volts !== null && !chain.curve.isMonotone;
  draft.stretches[id] = isKept ? { ...summary, pixelVolts: chain.volts!.slice() } : summary;
  // What flows the same way in both rails.
  const common = flow[t] + flow[t + 1];
  const commonWatts = (common * common * count * positiveOhms * negativeOhms) / ohms;
  draft.watts[firstStretch + id] = report.loadWatts + report.heatWatts + commonWatts;
  draft.worstExcess = Math.max(draft.worstExcess, report.worstExcess);
}
