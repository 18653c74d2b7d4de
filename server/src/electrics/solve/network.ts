/** The nonlinear joint equations: Kirchhoff's current law at every joint, with stretches reduced to their ends. */
import type { Circuit, LoadModel, Source } from '../circuit.ts';
import type { Chain, ChainScratch } from './chain.ts';
import { newChain, newChainScratch, solveChain } from './chain.ts';
import { findIslands, type Islands } from './islands.ts';
import type { LdlFactor } from './ldl.ts';
import { factorLdl, newLdlFactor, solveLdl } from './ldl.ts';
import type { LoadCurve } from './load-curve.ts';
import { compileLoadCurve, curveAmps, curveSlope } from './load-curve.ts';
import { buildStructure, type JointStructure } from './structure.ts';
import { type Usable, usableElements } from './usable.ts';

export interface Network {
  readonly circuit: Circuit;
  readonly usable: Usable;
  readonly islands: Islands;
  readonly structure: JointStructure;
  readonly loadCurves: readonly LoadCurve[];
  readonly chains: readonly Chain[];
  readonly scratch: ChainScratch;
  readonly factor: LdlFactor;

  /** Filled by `evaluate`: current that leaves each node and is not accounted for, A; conductance of each branch, S. */
  readonly excess: Float64Array;
  readonly siemens: Float64Array;
  /** The largest current of any element, A: what residuals are measured against. */
  largestAmps: number;

  readonly diagonal: Float64Array;
  readonly upper: Float64Array;
  readonly rightSide: Float64Array;
}

/** Undefined when the circuit as a whole cannot be solved (see `validateCircuit`). */
export function buildNetwork(circuit: Circuit): Network | undefined {
  const usable = usableElements(circuit);
  if (usable === undefined) return undefined;
  const islands = findIslands(circuit, usable);
  const structure = buildStructure(circuit, usable, islands);
  const curveOf = curveCache();
  const { n, rows } = structure.ldl;
  let longest = 0;
  const chains = circuit.stretches.map((stretch, id) => {
    const isLive = usable.stretch[id] === 1;
    if (isLive) longest = Math.max(longest, stretch.count);
    return newChain(
      stretch.count,
      stretch.positiveOhms + stretch.negativeOhms,
      isLive ? curveOf(stretch.model, stretch.scale) : noCurve,
    );
  });
  return {
    circuit,
    usable,
    islands,
    structure,
    loadCurves: circuit.loads.map((load, id) => (usable.load[id] ? curveOf(load.model, load.scale) : noCurve)),
    chains,
    scratch: newChainScratch(longest),
    factor: newLdlFactor(structure.ldl),
    excess: new Float64Array(circuit.nodeCount),
    siemens: new Float64Array(structure.branchA.length),
    largestAmps: 0,
    // One place more than needed: terminals that are no unknowns write there.
    diagonal: new Float64Array(n + 1),
    upper: new Float64Array(rows.length + 1),
    rightSide: new Float64Array(n + 1),
  };
}

const noCurve = compileLoadCurve({ quiescentAmps: 0, quiescentVolts: 1, channels: [] }, 0);

/** Models are shared by many elements: each is compiled once per scale. */
function curveCache(): (model: LoadModel, scale: number) => LoadCurve {
  const known = new Map<LoadModel, Map<number, LoadCurve>>();
  return (model, scale) => {
    const byScale = known.get(model) ?? new Map<number, LoadCurve>();
    known.set(model, byScale);
    const curve = byScale.get(scale) ?? compileLoadCurve(model, scale);
    byScale.set(scale, curve);
    return curve;
  };
}

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

/** Currents and conductances of all elements at these node volts. With `rising`, falling loads count as flat. */
export function evaluate(network: Network, volts: Float64Array, rising: boolean): void {
  const { circuit, usable, islands, excess, siemens, structure, loadCurves } = network;
  const { dead } = islands;
  excess.fill(0);
  let largest = 0;
  const pass = (from: number, to: number, amps: number) => {
    excess[from] += amps;
    excess[to] -= amps;
    const size = Math.abs(amps);
    if (size > largest) largest = size;
  };
  circuit.resistors.forEach(({ a, b, ohms }, id) => {
    if (!usable.resistor[id] || dead[a]) return;
    pass(a, b, (volts[a] - volts[b]) / ohms);
    siemens[id] = 1 / ohms;
  });
  circuit.sources.forEach((source, id) => {
    if (!usable.source[id]) return;
    const across = volts[source.positive] - volts[source.negative];
    pass(source.negative, source.positive, sourceAmps(source, across));
    siemens[structure.firstSource + id] = sourceSlope(source, across);
  });
  circuit.loads.forEach(({ positive, negative }, id) => {
    if (!usable.load[id] || dead[positive]) return;
    const across = volts[positive] - volts[negative];
    pass(positive, negative, curveAmps(loadCurves[id], across));
    const slope = curveSlope(loadCurves[id], across);
    siemens[structure.firstLoad + id] = rising && slope < 0 ? 0 : slope;
  });
  network.largestAmps = Math.max(largest, evaluateStretches(network, volts, rising));
}

/**
 * The stretches: the loop current d of the chain flows out in one rail and back in the other, and a common current
 * J = (1 / positiveOhms + 1 / negativeOhms) (c[0] - c[N]) / N flows the same way in both, shared by conductance.
 */
function evaluateStretches(network: Network, volts: Float64Array, rising: boolean): number {
  const { circuit, usable, islands, chains, scratch, excess, siemens, structure } = network;
  let largest = 0;
  for (let id = 0; id < chains.length; id++) {
    const stretch = circuit.stretches[id];
    const { positiveStart, negativeStart, positiveEnd, negativeEnd } = stretch;
    if (!usable.stretch[id] || islands.dead[positiveStart]) continue;
    const chain = chains[id];
    const start = volts[positiveStart] - volts[negativeStart];
    const end = volts[positiveEnd] - volts[negativeEnd];
    solveChain(chain, start, end, scratch, rising);

    const positiveShare = stretch.negativeOhms / chain.ohms;
    const negativeShare = stretch.positiveOhms / chain.ohms;
    const commonSiemens = 1 / (positiveShare * stretch.positiveOhms * stretch.count);
    const common =
      commonSiemens *
      (positiveShare * (volts[positiveStart] - volts[positiveEnd]) +
        negativeShare * (volts[negativeStart] - volts[negativeEnd]));
    excess[positiveStart] += chain.startAmps + positiveShare * common;
    excess[negativeStart] -= chain.startAmps - negativeShare * common;
    excess[positiveEnd] -= chain.endAmps + positiveShare * common;
    excess[negativeEnd] += chain.endAmps - negativeShare * common;
    largest = Math.max(largest, Math.abs(chain.startAmps), Math.abs(chain.endAmps));

    const shared = positiveShare * negativeShare * commonSiemens;
    const branch = structure.firstStretch + 6 * id;
    siemens[branch] = chain.startSlope - shared;
    siemens[branch + 1] = chain.endSlope - shared;
    siemens[branch + 2] = positiveShare * positiveShare * commonSiemens + chain.crossSlope;
    siemens[branch + 3] = negativeShare * negativeShare * commonSiemens + chain.crossSlope;
    siemens[branch + 4] = shared - chain.crossSlope;
    siemens[branch + 5] = shared - chain.crossSlope;
  }
  return largest;
}

/** Factors the joint matrix at the last evaluation; false when it is indefinite. */
export function factorJoints(network: Network): boolean {
  const { structure, siemens, diagonal, upper, factor } = network;
  const { branchA, branchB, branchUpper } = structure;
  diagonal.fill(0);
  upper.fill(0);
  for (let e = 0; e < siemens.length; e++) {
    const g = siemens[e];
    diagonal[branchA[e]] += g;
    diagonal[branchB[e]] += g;
    upper[branchUpper[e]] -= g;
  }
  return factorLdl(factor, diagonal, upper);
}

/** Newton's step from the last evaluation, V at each node, into `step`; `most` as in `solveLdl`. Returns its largest. */
export function newtonStep(network: Network, step: Float64Array, most: number): number {
  const { structure, excess, rightSide, factor } = network;
  const { nodeOf, ldl } = structure;
  for (let k = 0; k < ldl.n; k++) rightSide[k] = -excess[nodeOf[k]];
  solveLdl(factor, rightSide, most);
  step.fill(0);
  let largest = 0;
  for (let k = 0; k < ldl.n; k++) {
    step[nodeOf[k]] = rightSide[k];
    largest = Math.max(largest, Math.abs(rightSide[k]));
  }
  return largest;
}
