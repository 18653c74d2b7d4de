/** What the colours of one pixel draw: for colour shift, and for pixels whose colours share one current. */
import type { LoadChannel, LoadModel } from './circuit.ts';
import { compileLoadCurve, curveAmps } from './solve/load-curve.ts';

/**
 * Current of each channel of a model at a voltage, A, in the order of `model.channels`; without the quiescent part.
 * A channel's share of its current at full voltage is the share of its light that is left: a colour shift.
 */
export function channelAmps(model: LoadModel, volts: number, scale: number): Float64Array {
  return Float64Array.from(model.channels, (channel) => curveAmps(compileLoadCurve(alone(channel), scale), volts));
}

/** A load of nothing but one channel: the same for the same channel, so that it is compiled once. */
function alone(channel: LoadChannel): LoadModel {
  let model = ALONE.get(channel);
  if (model === undefined) {
    model = { quiescentAmps: 0, quiescentVolts: 1, channels: [channel] };
    ALONE.set(channel, model);
  }
  return model;
}

const ALONE = new WeakMap<LoadChannel, LoadModel>();

/** Dies in series behind one constant current; each is bypassed while it is dark. */
export interface SeriesChain {
  /** The one current, A. */
  readonly amps: number;
  /** Forward voltage of each die, V, in the order of the levels. */
  readonly forwardVolts: readonly number[];
  /** What the current source needs above the dies that are lit: full current, and none, V. */
  readonly kneeHeadroom: number;
  readonly zeroHeadroom: number;
}

/** The share of each dimming period during which some dies are lit together, and what they need. */
export interface ChainPhase {
  /** Positions of the dies that are lit. */
  readonly lit: readonly number[];
  readonly share: number;
  readonly channel: LoadChannel;
}

/**
 * A series chain at some levels (0 to 1, one for each die), as channels of a load model: the dies light up together at
 * the start of a dimming period and go dark one after another, so that each period falls into phases with ever fewer
 * dies lit. The current is the same in all of them: white draws no more than one colour. The voltage needed is the sum
 * of the dies that are lit. Colour c gets the light of the phases that have c among `lit`.
 */
export function chainPhases(chain: SeriesChain, levels: readonly number[]): ChainPhase[] {
  const order = levels.map((_, die) => die).sort((a, b) => levels[b] - levels[a]);
  const phases: ChainPhase[] = [];
  for (let count = order.length; count > 0; count--) {
    const lit = order.slice(0, count).sort((a, b) => a - b);
    const share = levels[order[count - 1]] - (count < order.length ? levels[order[count]] : 0);
    if (!(share > 0)) continue;
    const dies = lit.reduce((sum, die) => sum + chain.forwardVolts[die], 0);
    const kneeVolts = dies + chain.kneeHeadroom;
    const zeroVolts = dies + chain.zeroHeadroom;
    phases.push({ lit, share, channel: { kind: 'regulated', amps: chain.amps * share, kneeVolts, zeroVolts } });
  }
  return phases;
}
