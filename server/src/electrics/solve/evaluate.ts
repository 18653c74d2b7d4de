/** Currents and conductances of the elements at the present volts, and what is left over at the nodes. */
import type { Source } from '../circuit.ts';
import { solveChain } from './chain.ts';
import { evaluateRegulated } from './evaluate-regulated.ts';
import { saveElement } from './journal.ts';
import { curveAmps, curveSlope } from './load-curve.ts';
import { chainOf, type Network } from './network.ts';
import { none } from './none.ts';
import { regulatedSize, regulation } from './regulated.ts';
import { elementOf, firstBranch, firstTerminal, terminalCount } from './structure.ts';

/** Below this a source is taken to have a micro-ohm: an ideal one would make its current a difference of nothing. */
const leastSourceOhms = 1e-6;

/** Current of a source with `volts` across its terminals, A: (E - u) / R, but never below 0 nor above its limit. */
export function sourceAmps(source: Source, volts: number): number {
  const amps = (source.volts - volts) / Math.max(source.ohms, leastSourceOhms);
  return Math.min(Math.max(amps, 0), source.maxAmps);
}

/** -d I / d u of a source, S. */
function sourceSlope(source: Source, volts: number): number {
  const ohms = Math.max(source.ohms, leastSourceOhms);
  const amps = (source.volts - volts) / ohms;
  return amps >= 0 && amps <= source.maxAmps ? 1 / ohms : 0;
}

/** Brings flows, conductances and excesses up to date: of the changed elements and their nodes only, if they are few. */
export function evaluate(network: Network): void {
  const { changed, stale, structure } = network;
  const { terminalNode, elementCount } = structure;
  if (changed.isLarge() && network.journal === null) {
    network.excess.fill(0);
    evaluateResistors(network);
    for (let e = structure.firstSource; e < structure.firstStretch; e++) evaluateElement(network, e);
    for (let e = structure.firstStretch; e < elementCount; e++) evaluateStretch(network, e);
    sumOthers(network);
    network.active.addAll();
  } else {
    for (let k = 0; k < changed.size; k++) {
      const e = changed.items[k];
      evaluateElement(network, e);
      const t = firstTerminal(structure, e);
      for (let i = t; i < t + terminalCount(structure, e); i++)
        if (terminalNode[i] !== none) stale.add(terminalNode[i]);
    }
    for (let k = 0; k < stale.size; k++) sumNode(network, stale.items[k]);
  }
  changed.clear();
  stale.clear();
}

/** Marks what hangs on the moved rows as changed. */
export function touchMoved(network: Network): void {
  const { moved, changed, structure } = network;
  if (moved.isLarge()) {
    changed.addAll();
    return;
  }
  const { nodeOf } = structure;
  const { starts, terminals } = structure.atNodes();
  for (let k = 0; k < moved.size; k++) {
    const node = nodeOf[moved.items[k]];
    for (let p = starts[node]; p < starts[node + 1]; p++) changed.add(elementOf(structure, terminals[p]));
  }
}

function evaluateElement(network: Network, e: number): void {
  const { structure } = network;
  const { firstSource, firstLoad, firstStretch, terminalNode } = structure;
  if (terminalNode[firstTerminal(structure, e)] === none) return;
  saveElement(network, e);
  if (e < firstSource) evaluateResistor(network, e);
  else if (e < firstLoad) evaluateSource(network, e);
  else if (e < firstStretch) evaluateLoad(network, e);
  else evaluateStretch(network, e);
}

function evaluateResistor(network: Network, e: number): void {
  const siemens = network.isLive[e] ? network.resistorSiemens[e] : 0;
  store(network, e, siemens * across(network, e), siemens);
}

/** All resistors, and their share of the excesses, in one pass over flat arrays. */
function evaluateResistors(network: Network): void {
  const { structure, isLive, volts, flow, siemens, factored, resistorSiemens, excess, dirty } = network;
  const { firstSource, terminalNode } = structure;
  let largest = network.largestAmps;
  for (let e = 0, t = 0; e < firstSource; e++, t += 2) {
    const a = terminalNode[t];
    if (a === none) continue;
    const own = isLive[e] ? resistorSiemens[e] : 0;
    const b = terminalNode[t + 1];
    const amps = own * (volts[a] - volts[b]);
    excess[a] += amps;
    excess[b] -= amps;
    flow[t] = amps;
    flow[t + 1] = -amps;
    siemens[e] = own;
    largest = Math.max(largest, Math.abs(amps));
    if (!isClose(own, factored[e], 0)) dirty.add(e);
  }
  network.largestAmps = largest;
}

function evaluateSource(network: Network, e: number): void {
  const source = network.circuit.sources[e - network.structure.firstSource];
  const volts = across(network, e);
  if (network.isLive[e]) store(network, e, -sourceAmps(source, volts), sourceSlope(source, volts));
  else store(network, e, 0, 0);
}

function evaluateLoad(network: Network, e: number): void {
  const curve = network.loadCurves[e - network.structure.firstLoad];
  const volts = across(network, e);
  const slope = curveSlope(curve, volts);
  store(network, e, curveAmps(curve, volts), network.isRising && slope < 0 ? 0 : slope);
}

/** V across a two-terminal element. */
function across({ volts, structure }: Network, e: number): number {
  const { terminalNode } = structure;
  return volts[terminalNode[2 * e]] - volts[terminalNode[2 * e + 1]];
}

/** Sets the current and conductance of a two-terminal element. */
function store(network: Network, e: number, amps: number, siemens: number): void {
  network.flow[2 * e] = amps;
  network.flow[2 * e + 1] = -amps;
  network.siemens[e] = siemens;
  network.largestAmps = Math.max(network.largestAmps, Math.abs(amps));
  if (!isClose(siemens, network.factored[e], 0)) network.dirty.add(e);
}

/**
 * A stretch: the loop current d of the chain flows out in one rail and back in the other, and a common current
 * J = (1 / positiveOhms + 1 / negativeOhms) (c[0] - c[N]) / N flows the same way in both, shared by conductance.
 */
function evaluateStretch(network: Network, e: number): void {
  const { structure, regulated } = network;
  const id = e - structure.firstStretch;
  const t = firstTerminal(structure, e);
  if (structure.terminalNode[t] === none) return;
  if (!evaluateRegulated(network, id, t)) {
    evaluateChain(network, e, id, t);
  } else if (regulated[id] === regulation.closed) {
    const siemens = network.regulatedTable[id * regulatedSize];
    storeSlopes(network, e, siemens, siemens, siemens);
    regulated[id] = regulation.stored;
  }
}

/** A stretch of which some pixels may be below the knee. */
function evaluateChain(network: Network, e: number, id: number, t: number): void {
  const { structure, regulated, regulatedTable, volts, flow } = network;
  const { terminalNode } = structure;
  const positiveStart = volts[terminalNode[t]];
  const negativeStart = volts[terminalNode[t + 1]];
  const positiveEnd = volts[terminalNode[t + 2]];
  const negativeEnd = volts[terminalNode[t + 3]];
  const chain = chainOf(network, id);
  solveChain(chain, positiveStart - negativeStart, positiveEnd - negativeEnd, network.scratch, network.isRising);
  network.unsettled.add(e);

  const at = id * regulatedSize;
  const share = regulatedTable[at + 6];
  const drop = share * (positiveStart - positiveEnd) + (1 - share) * (negativeStart - negativeEnd);
  const common = regulatedTable[at + 7] * drop;
  flow[t] = chain.startAmps + share * common;
  flow[t + 1] = -chain.startAmps + (1 - share) * common;
  flow[t + 2] = -chain.endAmps - share * common;
  flow[t + 3] = chain.endAmps - (1 - share) * common;
  network.largestAmps = Math.max(network.largestAmps, Math.abs(chain.startAmps), Math.abs(chain.endAmps));
  storeSlopes(network, e, chain.startSlope, chain.crossSlope, chain.endSlope);
  const isOpen = chain.first <= chain.last || chain.rough !== null;
  regulated[id] = isOpen ? regulation.open : regulation.closed;
}

function storeSlopes(network: Network, e: number, startSlope: number, crossSlope: number, endSlope: number): void {
  const { structure, siemens, regulatedTable } = network;
  const at = (e - structure.firstStretch) * regulatedSize;
  const branch = firstBranch(structure, e);
  const positiveShare = regulatedTable[at + 6];
  const negativeShare = 1 - positiveShare;
  const commonSiemens = regulatedTable[at + 7];
  const shared = positiveShare * negativeShare * commonSiemens;
  siemens[branch] = startSlope - shared;
  siemens[branch + 1] = endSlope - shared;
  siemens[branch + 2] = positiveShare * positiveShare * commonSiemens + crossSlope;
  siemens[branch + 3] = negativeShare * negativeShare * commonSiemens + crossSlope;
  siemens[branch + 4] = shared - crossSlope;
  siemens[branch + 5] = shared - crossSlope;
  markDirty(network, e);
}

/**
 * A branch may differ from its factored conductance by this share before its rows are factored again: an old factor
 * still takes this share off the error in each round, which is good enough for the last digits.
 */
const smallChange = 1e-3;

/** Marks the element for factoring if its conductances have moved away from the factored ones. */
export function markDirty(network: Network, e: number): void {
  const { structure, siemens, factored, dirty } = network;
  const b = firstBranch(structure, e);
  if (e < structure.firstStretch) {
    if (!isClose(siemens[b], factored[b], 0)) dirty.add(e);
    return;
  }
  // Along its rails a stretch conducts far more than between them, yet just the latter may hold a part in place.
  const rounding = 1e-12 * Math.abs(factored[b + 2]);
  const between = siemens[b] + siemens[b + 1] + 2 * siemens[b + 4];
  const before = factored[b] + factored[b + 1] + 2 * factored[b + 4];
  let isSame = isClose(between, before, rounding);
  for (let i = b; i < b + 4 && isSame; i++) isSame = isClose(siemens[i], factored[i], rounding);
  if (!isSame) dirty.add(e);
}

function isClose(now: number, before: number, rounding: number): boolean {
  return Math.abs(now - before) <= smallChange * Math.abs(before) + rounding;
}

/** Adds the flows of all elements but the resistors to the excesses. */
function sumOthers({ excess, flow, structure }: Network): void {
  const { terminalNode, firstSource } = structure;
  for (let t = 2 * firstSource; t < terminalNode.length; t++) {
    if (terminalNode[t] !== none) excess[terminalNode[t]] += flow[t];
  }
}

function sumNode(network: Network, node: number): void {
  const { excess, flow, structure, active } = network;
  const { rowOf } = structure;
  const { starts, terminals } = structure.atNodes();
  let sum = 0;
  for (let p = starts[node]; p < starts[node + 1]; p++) sum += flow[terminals[p]];
  excess[node] = sum;
  if (rowOf[node] !== none) active.add(rowOf[node]);
}
