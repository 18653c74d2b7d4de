/**
 * The circuit handed to the solver: a resistive direct-current network with nonlinear loads.
 *
 * Everything is in SI units (V, A, ohm). A node is a whole number from 0 to nodeCount - 1.
 * Ids are positions: the k-th resistor added has id k, and so on, so that callers can keep
 * a parallel list that says where each element came from.
 * This file knows nothing about the language; it only describes a network.
 */

/**
 * How a load draws current from its own voltage u = V(positive) - V(negative).
 *
 * - `regulated`: a constant current per channel while u is above the channel's knee. Below it
 *   the current falls smoothly to zero: I(u) = amps * s(t), t = (u - zeroVolts) / (kneeVolts - zeroVolts),
 *   s(t) = 0 for t <= 0, 1 for t >= 1, and t * t * (3 - 2 t) between (continuous slope at both ends).
 *   Channels have their own knees (blue and green starve before red), so a colour shift is computed.
 * - `resistive`: series light-emitting diodes behind a resistor, I = max(0, (u - forwardVolts) / ohms).
 * - `converter`: a switching converter holds its power, I = watts / u while u >= lockoutVolts,
 *   and falls linearly to zero between lockoutVolts and 0.9 * lockoutVolts.
 * - `quiescentAmps`: drawn by the electronics whenever u is above `quiescentVolts` (linear in u below it).
 */
export interface LoadModel {
  readonly quiescentAmps: number;
  readonly quiescentVolts: number;
  readonly channels: readonly LoadChannel[];
}

export type LoadChannel =
  | { readonly kind: 'regulated'; readonly amps: number; readonly kneeVolts: number; readonly zeroVolts: number }
  | { readonly kind: 'resistive'; readonly ohms: number; readonly forwardVolts: number }
  | { readonly kind: 'converter'; readonly watts: number; readonly lockoutVolts: number };

/** One conductor, contact, splice or fuse between two nodes. `ohms` must be above zero. */
export interface Resistor {
  readonly a: number;
  readonly b: number;
  readonly ohms: number;
}

/**
 * A supply output stage: `volts` behind `ohms`, from `negative` to `positive`. It never sinks current
 * (a diode), and its current is held at `maxAmps` (the voltage folds back to keep it there).
 */
export interface Source {
  readonly positive: number;
  readonly negative: number;
  readonly volts: number;
  readonly ohms: number;
  readonly maxAmps: number;
}

/** A single load between two nodes; `scale` multiplies the current of its model's channels (not the quiescent part). */
export interface Load {
  readonly positive: number;
  readonly negative: number;
  readonly model: LoadModel;
  readonly scale: number;
}

/**
 * A row of `count` equal pixels on two rails of equal pitch, from a start joint to an end joint.
 * Pixel k (k = 1 .. count) sits at the end of the k-th pitch, so pixel `count` sits on the end joint.
 * `positiveOhms` and `negativeOhms` are the resistance of one pitch of each rail, both above zero.
 */
export interface Stretch {
  readonly positiveStart: number;
  readonly negativeStart: number;
  readonly positiveEnd: number;
  readonly negativeEnd: number;
  readonly count: number;
  readonly positiveOhms: number;
  readonly negativeOhms: number;
  readonly model: LoadModel;
  readonly scale: number;
}

export interface Circuit {
  readonly nodeCount: number;
  readonly resistors: readonly Resistor[];
  readonly sources: readonly Source[];
  readonly loads: readonly Load[];
  readonly stretches: readonly Stretch[];
}

/** Elements that carry nothing, by id: blown fuses, feeds and supplies taken away. */
export interface Cut {
  readonly resistors?: readonly number[];
  readonly sources?: readonly number[];
}
