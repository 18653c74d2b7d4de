/** What is wrong with a circuit, as data. The solver leaves out every element named here, as if it were cut away. */
import type { Circuit, Load, LoadChannel, LoadModel, Resistor, Source, Stretch } from './circuit.ts';

export type ElementKind = 'circuit' | 'resistor' | 'source' | 'load' | 'stretch';

export interface CircuitProblem {
  readonly element: ElementKind;
  /** Position in the circuit's list of that element; 0 for the circuit itself. */
  readonly id: number;
  readonly what:
    | 'node-out-of-range'
    | 'ohms-out-of-range'
    | 'volts-out-of-range'
    | 'amps-out-of-range'
    | 'count-out-of-range'
    | 'scale-out-of-range'
    | 'model-out-of-range'
    | 'both-ends-on-one-node'
    | 'too-many-pixels'
    | 'too-many-nodes';
  /** The number at fault. */
  readonly value: number;
}

/**
 * Bounds of what can be real. Below a micro-ohm two points are one point (merge their nodes instead);
 * a giga-ohm conducts nothing. A display of more pixels than this is a slip of the pen.
 */
export const circuitLimits = {
  leastOhms: 1e-6,
  mostOhms: 1e9,
  mostVolts: 1e4,
  mostAmps: 1e7,
  mostCount: 1e7,
  mostPixels: 2e7,
  mostNodes: 1e7,
} as const;

/** Checks every number of the circuit; an empty list means that `solve` takes it as it is. Never throws. */
export function validateCircuit(circuit: Circuit): CircuitProblem[] {
  const { nodeCount, resistors, sources, loads, stretches } = circuit;
  if (!isWhole(nodeCount, 0, circuitLimits.mostNodes)) {
    return [{ element: 'circuit', id: 0, what: 'too-many-nodes', value: nodeCount }];
  }
  const judge = new Judge(nodeCount);
  for (let id = 0; id < resistors.length; id++) judge.begin('resistor', id).resistor(resistors[id]);
  for (let id = 0; id < sources.length; id++) judge.begin('source', id).source(sources[id]);
  for (let id = 0; id < loads.length; id++) judge.begin('load', id).load(loads[id]);
  for (let id = 0; id < stretches.length; id++) judge.begin('stretch', id).stretch(stretches[id]);

  let pixels = 0;
  for (const { count } of stretches) if (isCount(count)) pixels += count;
  if (pixels > circuitLimits.mostPixels) judge.begin('circuit', 0).report('too-many-pixels', pixels);
  return judge.problems;
}

/** Looks at one element after another and names each at most once. Leaves nothing behind for a sound element. */
class Judge {
  readonly problems: CircuitProblem[] = [];
  private readonly nodeCount: number;
  private element: ElementKind = 'circuit';
  private id = 0;
  private isNamed = false;
  /** Models are shared by many elements: the last one that was found sound need not be looked at again. */
  private soundModel: LoadModel | undefined;

  constructor(nodeCount: number) {
    this.nodeCount = nodeCount;
  }

  begin(element: ElementKind, id: number): this {
    this.element = element;
    this.id = id;
    this.isNamed = false;
    return this;
  }

  report(what: CircuitProblem['what'], value: number): void {
    if (!this.isNamed) this.problems.push({ element: this.element, id: this.id, what, value });
    this.isNamed = true;
  }

  resistor({ a, b, ohms }: Resistor): void {
    this.node(a);
    this.node(b);
    this.ohms(ohms);
  }

  source({ positive, negative, volts, ohms, maxAmps }: Source): void {
    this.node(positive);
    this.node(negative);
    if (positive === negative) this.report('both-ends-on-one-node', positive);
    if (!(volts > 0 && volts <= circuitLimits.mostVolts)) this.report('volts-out-of-range', volts);
    if (!(ohms >= 0 && ohms <= circuitLimits.mostOhms)) this.report('ohms-out-of-range', ohms);
    if (!(maxAmps > 0)) this.report('amps-out-of-range', maxAmps);
  }

  load({ positive, negative, model, scale }: Load): void {
    this.node(positive);
    this.node(negative);
    this.model(model, scale);
  }

  stretch(stretch: Stretch): void {
    this.node(stretch.positiveStart);
    this.node(stretch.negativeStart);
    this.node(stretch.positiveEnd);
    this.node(stretch.negativeEnd);
    if (!isCount(stretch.count)) this.report('count-out-of-range', stretch.count);
    this.ohms(stretch.positiveOhms);
    this.ohms(stretch.negativeOhms);
    this.model(stretch.model, stretch.scale);
  }

  private node(node: number): void {
    if (!isWhole(node, 0, this.nodeCount - 1)) this.report('node-out-of-range', node);
  }

  private ohms(ohms: number): void {
    if (!isOhms(ohms)) this.report('ohms-out-of-range', ohms);
  }

  private model(model: LoadModel, scale: number): void {
    if (!(scale >= 0 && scale <= 1e6)) this.report('scale-out-of-range', scale);
    if (model === this.soundModel) return;
    this.soundModel = undefined;
    const { quiescentAmps, quiescentVolts, channels } = model;
    let isSound = isAmps(quiescentAmps);
    if (!isSound) this.report('amps-out-of-range', quiescentAmps);
    else if (quiescentAmps > 0 && !isVolts(quiescentVolts)) {
      isSound = false;
      this.report('model-out-of-range', quiescentVolts);
    }
    for (const channel of channels) {
      const fault = channelFault(channel);
      if (fault === undefined) continue;
      isSound = false;
      this.report('model-out-of-range', fault);
    }
    if (isSound) this.soundModel = model;
  }
}

/** The first number of a channel that cannot be, or undefined. */
function channelFault(channel: LoadChannel): number | undefined {
  switch (channel.kind) {
    case 'regulated': {
      if (!isAmps(channel.amps)) return channel.amps;
      if (!(channel.zeroVolts >= 0)) return channel.zeroVolts;
      // A knee narrower than a microvolt is a jump, at which the current would have no value.
      const isSlope = channel.kneeVolts - channel.zeroVolts >= 1e-6 && isVolts(channel.kneeVolts);
      return isSlope ? undefined : channel.kneeVolts;
    }
    case 'resistive':
      if (!isOhms(channel.ohms)) return channel.ohms;
      return channel.forwardVolts >= 0 && channel.forwardVolts <= circuitLimits.mostVolts
        ? undefined
        : channel.forwardVolts;
    case 'converter':
      if (!(channel.watts >= 0 && channel.watts <= 1e9)) return channel.watts;
      return channel.lockoutVolts >= 1e-3 && isVolts(channel.lockoutVolts) ? undefined : channel.lockoutVolts;
  }
}

const isOhms = (ohms: number) => ohms >= circuitLimits.leastOhms && ohms <= circuitLimits.mostOhms;
const isVolts = (volts: number) => volts > 0 && volts <= circuitLimits.mostVolts;
const isAmps = (amps: number) => amps >= 0 && amps <= circuitLimits.mostAmps;
const isCount = (count: number) => isWhole(count, 1, circuitLimits.mostCount);
const isWhole = (value: number, least: number, most: number) =>
  Number.isInteger(value) && value >= least && value <= most;
