/** Meter readings against the computed voltages, and the one resistor whose extra resistance explains them best. */
import type { Circuit } from './circuit.ts';
import { type Prepared, prepare } from './prepare.ts';
import type { Unsolved } from './solution.ts';
import { buildNetwork, type Network } from './solve/network.ts';
import { factorAll, respond } from './solve/respond.ts';
import { settle } from './solve/settle.ts';
import { usableElements } from './solve/usable.ts';

/** What a meter said between two nodes. */
export interface Reading {
  readonly positive: number;
  readonly negative: number;
  readonly volts: number;
  /** How far the meter and the numbers of the plan may be off together, V (one standard deviation), above 0. */
  readonly sigma: number;
}

export interface Suspect {
  readonly resistor: number;
  /** Resistance above the plan's that fits the readings best, ohm. */
  readonly extraOhms: number;
  /** Sum of the squared differences that remain, each over its sigma. */
  readonly misfit: number;
  /** Resistors that these readings cannot tell from this one: in series with it, with no reading between. */
  readonly alike: readonly number[];
}

export interface Diagnosis {
  readonly status: 'diagnosed';
  /** Measured less computed, V; NaN for a reading at a node that no source feeds or that is not in the circuit. */
  readonly residuals: Float64Array;
  /** Misfit of the plan as it is. */
  readonly misfit: number;
  /** The best explanations by one resistor, best first; empty when none makes the misfit smaller. */
  readonly suspects: readonly Suspect[];
  /**
   * Natural logarithm of the likelihood ratio (normally distributed errors: half the difference of the misfits) of the
   * first suspect against the plan as it is, and against the second suspect (Infinity without one). About 2.3 for each
   * factor of ten. The first has one free number, the extra resistance, which alone gains about 0.5.
   */
  readonly overNoFault: number;
  readonly overRunnerUp: number;
}

/** How many suspects are named, and how many of the likeliest are checked by a full solution. */
const mostSuspects = 5;
const mostChecked = 6;

/**
 * Finds the suspect. One extra resistance acts like a current pushed back through its resistor, so that to first order
 * every reading changes in proportion to its own response to that current: one straight-line fit for each resistor,
 * and by reciprocity only one solution of the joint system for each reading. The best few are then fitted with full
 * solutions, since pixels below their knees do not respond in proportion. Never throws.
 */
export function diagnose(circuit: Circuit, readings: readonly Reading[]): Diagnosis | Unsolved {
  const usable = usableElements(circuit);
  const network = usable && buildNetwork(circuit, usable);
  if (network === undefined || !settle(network).isSolved) {
    return { status: 'diverged', node: 0, residualAmps: Infinity, iterations: 0 };
  }
  factorAll(network);
  const residuals = Float64Array.from(readings, ({ positive, negative, volts }) => {
    const computed = (network.volts[positive] ?? Number.NaN) - (network.volts[negative] ?? Number.NaN);
    return volts - computed;
  });
  const fits = rankLinear(network, readings, residuals);
  const groups = groupAlike(fits);
  const prepared = prepare(circuit);
  const misfit = misfitOf(readings, residuals);
  const suspects = groups
    .map((group): Suspect => {
      const { first, alike } = ableToPush(network, group);
      return {
        ...refine(circuit, prepared, readings, first.resistor, extraOhms(network, first)),
        resistor: first.resistor,
        alike,
      };
    })
    .filter((suspect) => suspect.misfit < misfit)
    .sort((a, b) => a.misfit - b.misfit)
    .slice(0, mostSuspects);
  const [best, second] = suspects;
  return {
    status: 'diagnosed',
    residuals,
    misfit,
    suspects,
    overNoFault: best === undefined ? 0 : (misfit - best.misfit) / 2,
    overRunnerUp: best === undefined ? 0 : second === undefined ? Infinity : (second.misfit - best.misfit) / 2,
  };
}

function misfitOf(readings: readonly Reading[], residuals: Float64Array): number {
  let sum = 0;
  readings.forEach(({ sigma }, i) => {
    if (!Number.isNaN(residuals[i])) sum += (residuals[i] / sigma) ** 2;
  });
  return sum;
}

interface LinearFit {
  readonly resistor: number;
  /** The current that is pushed back, A. */
  readonly pushed: number;
  readonly misfit: number;
  /** Change of each reading with the current pushed back, over its sigma. */
  readonly response: Float64Array;
}

/** A straight-line fit for every resistor that carries current and moves some reading, best first. */
function rankLinear(network: Network, readings: readonly Reading[], residuals: Float64Array): LinearFit[] {
  const { circuit, volts, structure } = network;
  const used = [...readings.keys()].filter((i) => !Number.isNaN(residuals[i]));
  const responses = used.map((i) => respond(network, readings[i].positive, readings[i].negative));
  const wanted = Float64Array.from(used, (i) => residuals[i] / readings[i].sigma);
  const total = wanted.reduce((sum, d) => sum + d * d, 0);
  const fits: LinearFit[] = [];
  circuit.resistors.forEach(({ a, b }, resistor) => {
    if (structure.terminalNode[2 * resistor] < 0 || a === b) return;
    const response = Float64Array.from(used, (i, m) => (responses[m][a] - responses[m][b]) / readings[i].sigma);
    let along = 0;
    let square = 0;
    for (let m = 0; m < used.length; m++) {
      along += wanted[m] * response[m];
      square += response[m] * response[m];
    }
    const drop = volts[a] - volts[b];
    // The current is pushed back against the drop: of its sign, or there is no such resistance.
    const pushed = square > 0 ? along / square : 0;
    if (!(pushed * drop > 0)) return;
    fits.push({ resistor, pushed, misfit: total - pushed * along, response });
  });
  return fits.sort((x, y) => x.misfit - y.misfit);
}

/**
 * Of resistors with the same response: the one that can push back most, and the others that can push back enough.
 * Two in parallel respond alike, but the one that carries little cannot explain what the other can.
 */
function ableToPush(network: Network, group: readonly LinearFit[]): { first: LinearFit; alike: number[] } {
  const most = group.map(({ resistor }) => {
    const { a, b, ohms } = network.circuit.resistors[resistor];
    const own = respond(network, a, b);
    // An open resistor pushes back all that would flow in it.
    return Math.abs((network.volts[a] - network.volts[b]) / (ohms - (own[a] - own[b])));
  });
  const best = most.indexOf(Math.max(...most));
  const others = group.filter((fit, i) => i !== best && most[i] >= Math.min(Math.abs(fit.pushed), 0.999 * most[best]));
  return { first: group[best], alike: others.map(({ resistor }) => resistor) };
}

/**
 * The extra resistance D that pushes a current j back through a resistor R with the drop w: with z the response of its
 * own drop to that current, j = (w + j z) q, q = D / (R (R + D)).
 */
function extraOhms(network: Network, { resistor, pushed }: LinearFit): number {
  const { a, b, ohms } = network.circuit.resistors[resistor];
  const own = respond(network, a, b);
  const drop = network.volts[a] - network.volts[b];
  const q = pushed / (drop + pushed * (own[a] - own[b]));
  // At q = 1 / R the resistor is open; beyond it the readings ask for more than a break.
  const open = 1e4 * Math.max(ohms, 1);
  return q > 0 && q * ohms < 1 ? Math.min(open, (q * ohms * ohms) / (1 - q * ohms)) : open;
}

/** Puts together the fits with the same response up to its size: these readings cannot tell them apart. */
function groupAlike(fits: readonly LinearFit[]): [LinearFit, ...LinearFit[]][] {
  const groups: [LinearFit, ...LinearFit[]][] = [];
  for (const fit of fits) {
    const group = groups.find(([first]) => isAlike(first.response, fit.response));
    if (group !== undefined) group.push(fit);
    else if (groups.length < mostChecked) groups.push([fit]);
  }
  return groups;
}

function isAlike(x: Float64Array, y: Float64Array): boolean {
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let m = 0; m < x.length; m++) {
    xx += x[m] * x[m];
    yy += y[m] * y[m];
    xy += x[m] * y[m];
  }
  return xx * yy - xy * xy <= 1e-12 * xx * yy;
}

/**
 * The extra resistance that fits best by full solutions: a coarse search, as pixels at their knees and supplies that
 * start or stop make the first estimate no more than that, then golden sections, on a scale of ratios.
 */
function refine(
  circuit: Circuit,
  prepared: Prepared,
  readings: readonly Reading[],
  resistor: number,
  estimate: number,
): { extraOhms: number; misfit: number } {
  const { ohms } = circuit.resistors[resistor];
  const misfitAt = (logOhms: number) => {
    const bad = { ...circuit.resistors[resistor], ohms: ohms + Math.exp(logOhms) };
    const solution = prepared.solveWith({ ...circuit, resistors: circuit.resistors.with(resistor, bad) });
    if (solution.status !== 'solved') return Infinity;
    const { nodeVolts } = solution;
    const residuals = Float64Array.from(readings, (r) => r.volts - (nodeVolts[r.positive] - nodeVolts[r.negative]));
    return misfitOf(readings, residuals);
  };
  const steps = Array.from({ length: coarseSteps }, (_, i) => Math.log(leastExtraOhms) + i * coarseStep);
  const coarse = [Math.log(estimate), ...steps].map((at) => ({ at, misfit: misfitAt(at) }));
  const best = coarse.reduce((x, y) => (y.misfit < x.misfit ? y : x));
  let low = best.at - coarseStep;
  let high = best.at + coarseStep;
  const golden = (Math.sqrt(5) - 1) / 2;
  let [left, right] = [high - golden * (high - low), low + golden * (high - low)];
  let [atLeft, atRight] = [misfitAt(left), misfitAt(right)];
  for (let i = 0; i < goldenSections; i++) {
    if (atLeft <= atRight) {
      [high, right, atRight] = [right, left, atLeft];
      left = high - golden * (high - low);
      atLeft = misfitAt(left);
    } else {
      [low, left, atLeft] = [left, right, atRight];
      right = low + golden * (high - low);
      atRight = misfitAt(right);
    }
  }
  const [at, misfit] = atLeft < atRight ? [left, atLeft] : [right, atRight];
  return misfit < best.misfit
    ? { extraOhms: Math.exp(at), misfit }
    : { extraOhms: Math.exp(best.at), misfit: best.misfit };
}

/** From a milliohm to some hundred ohm, a factor of three at a time; then to about a thousandth of itself. */
const leastExtraOhms = 1e-3;
const coarseStep = Math.log(3);
const coarseSteps = 12;
const goldenSections = 16;
