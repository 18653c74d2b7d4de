/** The solver's front door: a circuit in, its voltages and currents out. */
import type { Circuit } from './circuit.ts';
import type { Solution, StretchPixels, StretchSummary, Unsolved } from './solution.ts';
import { chainVolts, newChain, newChainScratch, solveChain } from './solve/chain.ts';
import { reportChain } from './solve/chain-report.ts';
import { compileLoadCurve, curveAmps } from './solve/load-curve.ts';
import type { Network } from './solve/network.ts';
import { buildNetwork, sourceAmps } from './solve/network.ts';
import { largestExcess, solveNewton } from './solve/newton.ts';

/**
 * Solves a circuit. Elements that `validateCircuit` names are left out, as if they were cut away; nodes in an island
 * without a source are `dead` (NaN volts, dark pixels). In every other island the negative terminal of its first
 * source is at 0 V. Never throws, always ends, and the time is linear in the number of pixels.
 */
export function solve(circuit: Circuit): Solution | Unsolved {
  const network = buildNetwork(circuit);
  if (network === undefined) return { status: 'diverged', node: 0, residualAmps: Infinity, iterations: 0 };
  const volts = network.islands.guess;
  const { isSolved, iterations } = solveNewton(network, volts);
  if (!isSolved) return { status: 'diverged', ...worstNode(network), iterations };
  return describe(network, volts, iterations);
}

/** The pixels of one stretch of a solved circuit: arrays of length count, index 0 is pixel 1; zeros where it is dark. */
export function expandStretch(circuit: Circuit, solution: Solution, stretchIndex: number): StretchPixels {
  const stretch = circuit.stretches[stretchIndex];
  const { count, positiveOhms, negativeOhms } = stretch;
  const pixels = {
    volts: new Float64Array(count),
    amps: new Float64Array(count),
    negativeVolts: new Float64Array(count),
  };
  const at = solution.nodeVolts;
  const startVolts = at[stretch.positiveStart] - at[stretch.negativeStart];
  const endVolts = at[stretch.positiveEnd] - at[stretch.negativeEnd];
  if (!Number.isFinite(startVolts) || !Number.isFinite(endVolts)) return pixels;

  const ohms = positiveOhms + negativeOhms;
  const curve = compileLoadCurve(stretch.model, stretch.scale);
  const chain = newChain(count, ohms, curve);
  const { pixelVolts } = solution.stretches[stretchIndex];
  if (pixelVolts === undefined) solveChain(chain, startVolts, endVolts, newChainScratch(count), false);
  else Object.assign(chain, { first: 1, last: count - 1, volts: pixelVolts });
  // The conductance-weighted mean of the rails is linear; the negative rail lies below it by its share of u.
  const share = negativeOhms / ohms;
  const meanStart = at[stretch.negativeStart] + share * startVolts;
  const meanEnd = at[stretch.negativeEnd] + share * endVolts;
  for (let k = 1; k <= count; k++) {
    const u = chainVolts(chain, startVolts, endVolts, k);
    pixels.volts[k - 1] = u;
    pixels.amps[k - 1] = curveAmps(curve, u);
    pixels.negativeVolts[k - 1] = meanStart + ((meanEnd - meanStart) * k) / count - share * u;
  }
  return pixels;
}

function worstNode(network: Network): { node: number; residualAmps: number } {
  let node = 0;
  let residualAmps = 0;
  for (const candidate of network.structure.nodeOf) {
    const size = Math.abs(network.excess[candidate]);
    if (size > residualAmps) {
      residualAmps = size;
      node = candidate;
    }
  }
  return { node, residualAmps };
}

/** Residuals are relative to the circuit's largest current, A, and power, W, but where nothing flows to this. */
const leastScale = 1e-3;

/** Reads everything off the node volts, and weighs the power that goes in against the power that comes out. */
function describe(network: Network, volts: Float64Array, iterations: number): Solution {
  const { circuit, usable, islands, loadCurves } = network;
  const { dead } = islands;
  let suppliedWatts = 0;
  let usedWatts = 0;
  const resistorAmps = Float64Array.from(circuit.resistors, ({ a, b, ohms }, id) => {
    if (!usable.resistor[id] || dead[a]) return 0;
    const amps = (volts[a] - volts[b]) / ohms;
    usedWatts += amps * amps * ohms;
    return amps;
  });
  const sourceLimited = new Uint8Array(circuit.sources.length);
  const sourceCurrents = Float64Array.from(circuit.sources, (source, id) => {
    if (!usable.source[id]) return 0;
    const across = volts[source.positive] - volts[source.negative];
    const amps = sourceAmps(source, across);
    if (amps >= source.maxAmps) sourceLimited[id] = 1;
    suppliedWatts += amps * across;
    return amps;
  });
  const loadVolts = Float64Array.from(circuit.loads, ({ positive, negative }, id) =>
    usable.load[id] && !dead[positive] ? volts[positive] - volts[negative] : 0,
  );
  const loadAmps = loadVolts.map((across, id) => {
    const amps = curveAmps(loadCurves[id], across);
    usedWatts += amps * across;
    return amps;
  });
  let worstExcess = largestExcess(network);
  const stretches = circuit.stretches.map((_, id) => {
    const { summary, watts, excess } = describeStretch(network, volts, id);
    usedWatts += watts;
    worstExcess = Math.max(worstExcess, excess);
    return summary;
  });
  return {
    status: 'solved',
    nodeVolts: volts,
    resistorAmps,
    sourceAmps: sourceCurrents,
    sourceLimited,
    loadAmps,
    loadVolts,
    stretches,
    dead,
    iterations,
    currentResidual: worstExcess / Math.max(network.largestAmps, leastScale),
    powerResidual: Math.abs(suppliedWatts - usedWatts) / Math.max(suppliedWatts, usedWatts, leastScale),
  };
}

const darkStretch: StretchSummary = {
  leastVolts: 0,
  leastPixel: 1,
  positiveStartAmps: 0,
  positiveEndAmps: 0,
  negativeStartAmps: 0,
  negativeEndAmps: 0,
  amps: 0,
};

function describeStretch(network: Network, volts: Float64Array, id: number) {
  const stretch = network.circuit.stretches[id];
  const { count, positiveOhms, negativeOhms, positiveStart, negativeStart, positiveEnd, negativeEnd } = stretch;
  if (!network.usable.stretch[id] || network.islands.dead[positiveStart]) {
    return { summary: darkStretch, watts: 0, excess: 0 };
  }
  const chain = network.chains[id];
  const start = volts[positiveStart] - volts[negativeStart];
  const end = volts[positiveEnd] - volts[negativeEnd];
  const report = reportChain(chain, start, end);
  const share = negativeOhms / chain.ohms;
  const common =
    (volts[positiveStart] - volts[positiveEnd]) / (positiveOhms * count) +
    (volts[negativeStart] - volts[negativeEnd]) / (negativeOhms * count);
  const summary: StretchSummary = {
    leastVolts: report.leastVolts,
    leastPixel: report.leastPixel,
    positiveStartAmps: chain.startAmps + share * common,
    positiveEndAmps: chain.endAmps + share * common,
    negativeStartAmps: -chain.startAmps + (1 - share) * common,
    negativeEndAmps: -chain.endAmps + (1 - share) * common,
    amps: report.amps,
    ...(chain.volts === null || chain.curve.isMonotone ? {} : { pixelVolts: chain.volts.slice() }),
  };
  const commonWatts = (common * common * count * positiveOhms * negativeOhms) / chain.ohms;
  return { summary, watts: report.loadWatts + report.heatWatts + commonWatts, excess: report.worstExcess };
}
