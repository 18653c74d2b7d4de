/**
 * Damped Newton's method on the joint equations.
 *
 * While every load's current rises with its voltage, the equations are the gradient of a convex energy (Millar's
 * "content", W. Millar, Phil. Mag. 42, 1951, 1150-1160), so that a Newton step points downhill and the method ends at
 * the one solution. The excess currents times the step are the energy's slope along it: a step on which that slope
 * turns clearly positive has gone too far and is cut back. Falling loads (converters) may make the matrix indefinite;
 * the step is then taken with their slopes left out, which still points downhill.
 *
 * Each round works only on what changed in the one before: after a first solution, a fuse that opens costs its
 * neighbourhood.
 */
import { roughVolts } from './chain-rough.ts';
import { evaluate, touchMoved } from './evaluate.ts';
import { saveNode } from './journal.ts';
import { factorLdl, solveLdl } from './ldl.ts';
import type { Network } from './network.ts';
import { none } from './none.ts';
import { branchCount, firstBranch, firstTerminal, terminalCount } from './structure.ts';

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
/** How far pixels may be from settled while the joints move: a share of the highest volts, and of the last step. */
const roughPixels = 0.02;
const finePixels = 0.02;
/** Excess current, as a share of the largest current, that a solution may have; and one that no longer improves. */
const wantedExcess = 1e-9;
const acceptableExcess = 1e-7;
/** Where nothing flows, rounding is all there is, A. */
const noAmps = 1e-12;

/**
 * Brings the network from its present volts to a solution. Always ends. With `network.precision` above 0, parts that
 * move by less than that many volts may be left as they are, and currents are only as good as those volts.
 */
export function solveNewton(network: Network): NewtonResult {
  const { highestVolts, precision, scratch } = network;
  scratch.tolerance = roughPixels * highestVolts;
  scratch.work = 0;
  evaluate(network);
  for (let iteration = 1; iteration <= mostIterations && scratch.work < scratch.mostWork; iteration++) {
    if (!factorChanged(network) && !factorRising(network)) break;
    const { largest, foot } = findStep(network);
    scratch.tolerance = Math.min(roughPixels * highestVolts, finePixels * largest);
    const isClose = largest <= Math.max(closeEnough * highestVolts, precision);
    // Whatever the precision, the last evaluation knows the pixels one by one.
    if (isClose) scratch.tolerance = Math.min(scratch.tolerance, roughVolts / 2);
    recallUnsettled(network);
    descend(network, isClose ? 0 : foot);
    clearStep(network);
    if (isClose && (precision > 0 || isBalanced(network, wantedExcess)))
      return { isSolved: true, iterations: iteration };
  }
  return { isSolved: isBalanced(network, acceptableExcess), iterations: mostIterations };
}

/** Has stretches evaluated again whose pixels are not settled: where they are now only roughly known, they may count. */
function recallUnsettled({ unsettled, chains, structure, changed }: Network): void {
  for (let k = 0; k < unsettled.size; k++) {
    const e = unsettled.items[k];
    if (chains[e - structure.firstStretch]?.isSettled === false) changed.add(e);
  }
}

/** The row with the largest excess current among those that may be out of balance. */
export function worstRow(network: Network): { row: number; amps: number } {
  const { active, structure, excess } = network;
  let row = 0;
  let amps = 0;
  for (let k = 0; k < active.size; k++) {
    const size = Math.abs(excess[structure.nodeOf[active.items[k]]]);
    if (size <= amps) continue;
    amps = size;
    row = active.items[k];
  }
  return { row, amps };
}

function isBalanced(network: Network, share: number): boolean {
  if (network.journal === null) {
    // Forget the currents of the first steps, which may have been thousands of times too large.
    const { flow } = network;
    let largest = 0;
    for (let t = 0; t < flow.length; t++) largest = Math.max(largest, Math.abs(flow[t]));
    network.largestAmps = largest;
  }
  if (!(worstRow(network).amps <= share * network.largestAmps + noAmps)) return false;
  const { unsettled, chains, structure } = network;
  for (let k = 0; k < unsettled.size; k++) {
    if (chains[unsettled.items[k] - structure.firstStretch]?.isSettled === false) return false;
  }
  unsettled.clear();
  return true;
}

/** Factors what is marked dirty; false when the matrix is indefinite. */
function factorChanged(network: Network): boolean {
  const { dirty, dirtyRows, structure, siemens, factored } = network;
  const { terminalNode, rowOf } = structure;
  for (let k = 0; k < dirty.size; k++) {
    const e = dirty.items[k];
    const b = firstBranch(structure, e);
    const t = firstTerminal(structure, e);
    for (let i = b; i < b + branchCount(structure, e); i++) factored[i] = siemens[i];
    for (let i = t; i < t + terminalCount(structure, e); i++)
      if (rowOf[terminalNode[i]] !== none) dirtyRows.add(rowOf[terminalNode[i]]);
  }
  dirty.clear();
  // The factored numbers, not the latest: a branch must be the same in both of its rows.
  const isPositive = factorLdl(network.factor, factored, dirtyRows);
  dirtyRows.clear();
  return isPositive;
}

/** The same with the slopes of falling loads left out; everything is factored afresh now and in the next round. */
function factorRising(network: Network): boolean {
  network.isRising = true;
  network.changed.addAll();
  evaluate(network);
  network.dirtyRows.addAll();
  const isPositive = factorChanged(network);
  network.isRising = false;
  network.changed.addAll();
  return isPositive;
}

/** Newton's step from the last evaluation: its largest value, V, and the energy's slope along it at its foot, W. */
function findStep(network: Network): { largest: number; foot: number } {
  const { structure, excess, active, moved, step, precision, highestVolts } = network;
  for (let k = 0; k < active.size; k++) step[active.items[k]] = -excess[structure.nodeOf[active.items[k]]];
  solveLdl(network.factor, step, active, moved, precision, mostStep * highestVolts);
  const { nodeOf } = structure;
  let largest = 0;
  let foot = 0;
  for (let k = 0; k < moved.size; k++) {
    const row = moved.items[k];
    const volts = step[row];
    foot += excess[nodeOf[row]] * volts;
    if (Math.abs(volts) > largest) largest = Math.abs(volts);
  }
  return { largest, foot };
}

function clearStep(network: Network): void {
  const { moved, step } = network;
  for (let k = 0; k < moved.size; k++) step[moved.items[k]] = 0;
  moved.clear();
}

/** The energy's slope along the step, W. */
function slopeAlong(network: Network): number {
  const { structure, excess, moved, step } = network;
  let slope = 0;
  for (let k = 0; k < moved.size; k++) slope += excess[structure.nodeOf[moved.items[k]]] * step[moved.items[k]];
  return slope;
}

/**
 * Moves along the step and evaluates there. The full step is taken unless the energy's slope, `foot` at its beginning,
 * has turned clearly positive at its end; else a shorter one, found by false position between the last point where the
 * energy fell (`low`) and the first where it rose (`high`). A foot of 0 takes the full step as it is.
 *
 * As the slope only rises along the step, the energy has changed by no more than low * lowSlope up to `low`, and by no
 * more than (high - low) * highSlope from there to `high`. So a point past a supply's diode or limit is taken as soon as
 * it is surely lower than the foot: the next step then knows the new side.
 */
function descend(network: Network, foot: number): void {
  move(network, 1);
  if (!(foot < 0)) return;
  let low = 0;
  let lowSlope = foot;
  let high = 1;
  let highSlope = slopeAlong(network);
  let at = 1;
  if (highSlope <= mostRise * -foot) return;
  for (let trial = 0; trial < mostTrials; trial++) {
    const zero = low + ((high - low) * -lowSlope) / (highSlope - lowSlope);
    // Never so close to an end that the bracket stops shrinking.
    const next = Math.min(Math.max(zero, low + 0.1 * (high - low)), high - 0.1 * (high - low));
    move(network, next - at);
    at = next;
    const slope = slopeAlong(network);
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

function move(network: Network, share: number): void {
  const { structure, moved, step, volts } = network;
  for (let k = 0; k < moved.size; k++) {
    const row = moved.items[k];
    const node = structure.nodeOf[row];
    saveNode(network, node);
    volts[node] += share * step[row];
  }
  touchMoved(network);
  evaluate(network);
}
