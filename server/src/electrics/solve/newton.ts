/**
 * Damped Newton's method on the joint equations.
 *
 * While every load's current rises with its voltage, the equations are the gradient of a convex energy (Millar's
 * "content", W. Millar, Phil. Mag. 42, 1951, 1150-1160), so that a Newton step points downhill and the method ends at
 * the one solution. The excess currents times the step are the energy's slope along it: a step on which that slope
 * turns clearly positive has gone too far and is cut back. Falling loads (converters) may make the matrix indefinite;
 * the step is then taken with their slopes left out, which still points downhill.
 */
import type { Network } from './network.ts';
import { evaluate, factorJoints, newtonStep } from './network.ts';

export interface NewtonResult {
  readonly isSolved: boolean;
  readonly iterations: number;
}

const mostIterations = 100;
const mostTrials = 40;
/** A full step may end where the energy rises again by this share of its fall at the foot. */
const mostRise = 0.1;
/** A last step below this share of the highest supply voltage: Newton's error is then about its square. */
const closeEnough = 1e-7;
/** No part of the network moves against the rest by more than this share of the highest supply voltage in one step. */
const mostStep = 0.5;
/** Excess current, as a share of the largest current, that a solution may have; and one that no longer improves. */
const wantedExcess = 1e-9;
const acceptableExcess = 1e-7;
/** Where nothing flows, rounding is all there is, A. */
const noAmps = 1e-12;

/** Improves `volts` (by node; NaN in dead islands) to the solution. Always ends. */
export function solveNewton(network: Network, volts: Float64Array): NewtonResult {
  const { circuit, usable } = network;
  let highest = 0;
  circuit.sources.forEach((source, id) => {
    if (usable.source[id]) highest = Math.max(highest, source.volts);
  });
  const step = new Float64Array(volts.length);
  evaluate(network, volts, false);
  for (let iteration = 1; iteration <= mostIterations; iteration++) {
    if (!factorJoints(network)) {
      evaluate(network, volts, true);
      if (!factorJoints(network)) break;
    }
    const largest = newtonStep(network, step, mostStep * highest);
    const isClose = largest <= closeEnough * highest;
    descend(network, volts, step, !isClose);
    if (isClose && isBalanced(network, wantedExcess)) return { isSolved: true, iterations: iteration };
  }
  return { isSolved: isBalanced(network, acceptableExcess), iterations: mostIterations };
}

function isBalanced(network: Network, share: number): boolean {
  return (
    largestExcess(network) <= share * network.largestAmps + noAmps && network.chains.every((chain) => chain.isSettled)
  );
}

/** The largest excess current at any unknown joint, A. */
export function largestExcess(network: Network): number {
  let largest = 0;
  for (const node of network.structure.nodeOf) largest = Math.max(largest, Math.abs(network.excess[node]));
  return largest;
}

/** The energy's slope along the step, W. */
function slopeAlong(network: Network, step: Float64Array): number {
  let slope = 0;
  for (let i = 0; i < step.length; i++) if (step[i] !== 0) slope += network.excess[i] * step[i];
  return slope;
}

/**
 * Moves along the step and evaluates there. The full step is taken unless the energy's slope at its end has turned
 * clearly positive; else a shorter one, found by false position between the last point where the energy fell (`low`)
 * and the first where it rose (`high`). As its slope only rises along the step, the energy has changed by no more than
 * low * lowSlope up to `low`, and by no more than (high - low) * highSlope from there to `high`. So a point past a
 * supply's diode or limit is taken as soon as it is surely lower than the foot: the next step then knows the new side.
 */
function descend(network: Network, volts: Float64Array, step: Float64Array, isDamped: boolean): void {
  const foot = slopeAlong(network, step);
  move(network, volts, step, 1);
  if (!isDamped || !(foot < 0)) return;
  let low = 0;
  let lowSlope = foot;
  let high = 1;
  let highSlope = slopeAlong(network, step);
  let at = 1;
  if (highSlope <= mostRise * -foot) return;
  for (let trial = 0; trial < mostTrials; trial++) {
    const zero = low + ((high - low) * -lowSlope) / (highSlope - lowSlope);
    // Never so close to an end that the bracket stops shrinking.
    const next = Math.min(Math.max(zero, low + 0.1 * (high - low)), high - 0.1 * (high - low));
    move(network, volts, step, next - at);
    at = next;
    const slope = slopeAlong(network, step);
    if (slope <= 0) {
      low = next;
      lowSlope = slope;
      if (slope >= 0.5 * foot) return;
    } else {
      high = next;
      highSlope = slope;
      if ((high - low) * highSlope <= -0.5 * low * lowSlope) return;
    }
  }
}

function move(network: Network, volts: Float64Array, step: Float64Array, share: number): void {
  for (let i = 0; i < step.length; i++) if (step[i] !== 0) volts[i] += share * step[i];
  evaluate(network, volts, false);
}
