/** The solver's front door: a circuit in, its voltages and currents out. */
import type { Circuit } from './circuit.ts';
import { prepare } from './prepare.ts';
import type { Solution, StretchPixels, Unsolved } from './solution.ts';
import { chainVolts, solveChain } from './solve/chain.ts';
import { newChain, newChainScratch } from './solve/chain-state.ts';
import { compileLoadCurve, curveAmps } from './solve/load-curve.ts';

/**
 * Solves a circuit. Elements that `validateCircuit` names are left out, as if they were cut away; nodes in an island
 * without a source are `dead` (NaN volts, dark pixels). In every other island the negative terminal of its first
 * source is at 0 V. A part that only loads tie to the rest (a rail without a feed) is at 0 V across them.
 * Never throws, always ends, and the time is linear in the number of pixels.
 */
export function solve(circuit: Circuit): Solution | Unsolved {
  return prepare(circuit).solve();
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
