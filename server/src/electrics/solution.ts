/** What the solver says of a circuit. Volts are absolute to one arbitrary reference in each connected island. */

export interface Solution {
  readonly status: 'solved';
  /** V at each joint node, length circuit.nodeCount. NaN only for nodes in an island without a source (see `dead`). */
  readonly nodeVolts: Float64Array;
  /** A through each resistor, positive from a to b. */
  readonly resistorAmps: Float64Array;
  /** A out of the positive terminal of each source, never below zero. */
  readonly sourceAmps: Float64Array;
  /** 1 where the source is held at maxAmps. */
  readonly sourceLimited: Uint8Array;
  readonly loadAmps: Float64Array;
  readonly loadVolts: Float64Array;
  /** Per stretch: least pixel voltage u, the pixel (1-based) that has it, rail current at the start and end joints. */
  readonly stretches: readonly StretchSummary[];
  /** True where the node belongs to an island that no source feeds; its pixels are dark at 0 V. */
  readonly dead: Uint8Array;
  readonly iterations: number;
  /** Largest Kirchhoff residual at any joint or pixel, A, and power balance error, both relative to the circuit's own scale. */
  readonly currentResidual: number;
  readonly powerResidual: number;
}

export interface StretchSummary {
  readonly leastVolts: number;
  readonly leastPixel: number;
  /**
   * A into the rail at the start joint / out of it at the end joint (after the last pixel took its share), both in the
   * direction start to end.
   */
  readonly positiveStartAmps: number;
  readonly positiveEndAmps: number;
  readonly negativeStartAmps: number;
  readonly negativeEndAmps: number;
  /** Sum of the pixels' currents, A. */
  readonly amps: number;
  /**
   * u of pixel k at index k, k = 1 .. count - 1, V. Kept only for pixels that hold their power (converters): they may
   * have more than one state for the same end voltages. All others are found again from the ends when asked for.
   */
  readonly pixelVolts?: Float64Array;
}

/** Newton did not settle; `node` is the joint with the worst residual, so that the message can name a place. */
export interface Unsolved {
  readonly status: 'diverged';
  readonly node: number;
  readonly residualAmps: number;
  readonly iterations: number;
}

/** The pixels of one stretch, expanded on demand: arrays of length count, index 0 is pixel 1. */
export interface StretchPixels {
  readonly volts: Float64Array;
  readonly amps: Float64Array;
  /** V of the negative rail at the pixel, absolute like nodeVolts: the shift of the data reference. */
  readonly negativeVolts: Float64Array;
}
