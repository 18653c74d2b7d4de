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

type What = CircuitProblem['what'];
type Report = (what: What, value: number) => void;

/** Checks every number of the circuit; an empty list means that `solve` takes it as it is. Never throws. */
export function validateCircuit(circuit: Circuit): CircuitProblem[] {
  const problems: CircuitProblem[] = [];
  const { nodeCount } = circuit;
  const add = (element: ElementKind, id: number, what: What, value: number) =>
    problems.push({ element, id, what, value });
  if (!isWhole(nodeCount, 0, circuitLimits.mostNodes)) {
    add('circuit', 0, 'too-many-nodes', nodeCount);
    return problems;
  }
  const judge = <E>(element: ElementKind, list: readonly E[], rule: (e: E, nodeCount: number, r: Report) => void) => {
    for (let id = 0; id < list.length; id++) {
      let named = false;
      rule(list[id]!, nodeCount, (what, value) => {
        if (!named) add(element, id, what, value);
        named = true;
      });
    }
  };
  judge('resistor', circuit.resistors, judgeResistor);
  judge('source', circuit.sources, judgeSource);
  judge('load', circuit.loads, judgeLoad);
  judge('stretch', circuit.stretches, judgeStretch);

  let pixels = 0;
  for (const { count } of circuit.stretches) if (isCount(count)) pixels += count;
  if (pixels > circuitLimits.mostPixels) add('circuit', 0, 'too-many-pixels', pixels);
  return problems;
}

function judgeResistor(resistor: Resistor, nodeCount: number, report: Report): void {
  judgeNodes([resistor.a, resistor.b], nodeCount, report);
  judgeOhms(resistor.ohms, report);
}

function judgeSource(source: Source, nodeCount: number, report: Report): void {
  judgeNodes([source.positive, source.negative], nodeCount, report);
  if (source.positive === source.negative) report('both-ends-on-one-node', source.positive);
  if (!(source.volts > 0 && source.volts <= circuitLimits.mostVolts)) report('volts-out-of-range', source.volts);
  if (!(source.ohms >= 0 && source.ohms <= circuitLimits.mostOhms)) report('ohms-out-of-range', source.ohms);
  if (!(source.maxAmps > 0)) report('amps-out-of-range', source.maxAmps);
}

function judgeLoad(load: Load, nodeCount: number, report: Report): void {
  judgeNodes([load.positive, load.negative], nodeCount, report);
  judgeModel(load.model, load.scale, report);
}

function judgeStretch(stretch: Stretch, nodeCount: number, report: Report): void {
  const { positiveStart, negativeStart, positiveEnd, negativeEnd } = stretch;
  judgeNodes([positiveStart, negativeStart, positiveEnd, negativeEnd], nodeCount, report);
  if (!isCount(stretch.count)) report('count-out-of-range', stretch.count);
  judgeOhms(stretch.positiveOhms, report);
  judgeOhms(stretch.negativeOhms, report);
  judgeModel(stretch.model, stretch.scale, report);
}

function judgeModel(model: LoadModel, scale: number, report: Report): void {
  if (!(scale >= 0 && scale <= 1e6)) report('scale-out-of-range', scale);
  if (!isAmps(model.quiescentAmps)) report('amps-out-of-range', model.quiescentAmps);
  else if (model.quiescentAmps > 0 && !isVolts(model.quiescentVolts))
    report('model-out-of-range', model.quiescentVolts);
  for (const channel of model.channels) {
    const fault = channelFault(channel);
    if (fault !== undefined) report('model-out-of-range', fault);
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

function judgeNodes(nodes: readonly number[], nodeCount: number, report: Report): void {
  for (const node of nodes) if (!isWhole(node, 0, nodeCount - 1)) report('node-out-of-range', node);
}

function judgeOhms(ohms: number, report: Report): void {
  if (!isOhms(ohms)) report('ohms-out-of-range', ohms);
}

const isOhms = (ohms: number) => ohms >= circuitLimits.leastOhms && ohms <= circuitLimits.mostOhms;
const isVolts = (volts: number) => volts > 0 && volts <= circuitLimits.mostVolts;
const isAmps = (amps: number) => amps >= 0 && amps <= circuitLimits.mostAmps;
const isCount = (count: number) => isWhole(count, 1, circuitLimits.mostCount);
const isWhole = (value: number, least: number, most: number) =>
  Number.isInteger(value) && value >= least && value <= most;
