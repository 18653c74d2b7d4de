/**
 * ngspice, compiled to WebAssembly, as an outside judge of bare circuits.
 *
 * Every element is written by its definition in `circuit.ts`, pixel by pixel, with nothing of the solver's own
 * reductions: behavioural current sources carry the loads' curves and the supplies' diode and current limit.
 */

import { Simulation } from 'eecircuit-engine';
import type { Circuit, LoadChannel, LoadModel } from '#server/electrics/circuit.ts';

/** Operating points by ngspice. Start it once per test file: loading takes about half a second. */
export interface Spice {
  /**
   * Volts of every named circuit node of a deck of element lines, by lower-case name. Node `0` is ground.
   * Rejects with the simulator's own words when it finds no operating point.
   */
  operatingPoint(lines: readonly string[]): Promise<Map<string, number>>;
  /**
   * Volts of every node of a circuit, each island relative to the node that `references` names for it.
   * From 0 V the simulator's Newton iteration often fails at the supplies' diodes, so it starts `near` these volts;
   * it accepts only what satisfies its own equations. Give volts that are off by more than the comparison allows.
   */
  nodeVolts(circuit: Circuit, references: readonly number[], near?: Float64Array): Promise<Float64Array>;
}

/** Tighter than the simulator's defaults by six orders, so that its answer can judge ours to 1e-6. */
const options = '.options reltol=1e-9 abstol=1e-12 vntol=1e-10 gmin=1e-16 itl1=500';

export async function startSpice(): Promise<Spice> {
  const simulation = await quietly(async () => {
    const made = new Simulation();
    await made.start();
    return made;
  });
  const operatingPoint = async (lines: readonly string[]) => {
    simulation.setNetList(['operating point', ...lines, options, '.op', '.end', ''].join('\n'));
    const result = await quietly(() => simulation.runSim());
    const errors = simulation.getError().filter((line) => /error|abort/i.test(line));
    if (errors.length > 0 || result.numPoints < 1) throw new Error(`ngspice: ${errors.join('; ') || 'no result'}`);
    const volts = new Map<string, number>();
    for (const { name, type, values } of result.data) {
      if (type === 'voltage') volts.set(name.toLowerCase().replace(/^v\((.*)\)$/, '$1'), values[0] as number);
    }
    return volts;
  };
  const nodeVolts = async (circuit: Circuit, references: readonly number[], near?: Float64Array) => {
    const start = near === undefined ? [] : nodeSets(circuit, references, near);
    const volts = await operatingPoint([...spiceDeck(circuit, references), ...start]);
    return Float64Array.from({ length: circuit.nodeCount }, (_, node) =>
      references.includes(node) ? 0 : (volts.get(`n${node}`) ?? Number.NaN),
    );
  };
  return { operatingPoint, nodeVolts };
}

/** The circuit as element lines. Pixels of stretch s between its joints are nodes `p{s}_{k}` and `m{s}_{k}`. */
export function spiceDeck(circuit: Circuit, references: readonly number[]): string[] {
  const name = (node: number) => (references.includes(node) ? '0' : `n${node}`);
  const lines: string[] = [];
  circuit.resistors.forEach(({ a, b, ohms }, id) => {
    // The simulator never comes back from a resistor with both ends on one node; it does nothing anyway.
    if (a !== b) lines.push(`rr${id} ${name(a)} ${name(b)} ${ohms}`);
  });
  circuit.sources.forEach(({ positive, negative, volts, ohms, maxAmps }, id) => {
    const amps = `(${volts}-v(${name(positive)},${name(negative)}))/${ohms}`;
    const limited = Number.isFinite(maxAmps) ? `(${amps} > ${maxAmps} ? ${maxAmps} : ${amps})` : amps;
    lines.push(`bs${id} ${name(negative)} ${name(positive)} i = ${amps} < 0 ? 0 : ${limited}`);
  });
  circuit.loads.forEach(({ positive, negative, model, scale }, id) =>
    addLoad(lines, `l${id}`, name(positive), name(negative), model, scale),
  );
  circuit.stretches.forEach((stretch, id) => {
    const { count, positiveOhms, negativeOhms, model, scale } = stretch;
    let positive = name(stretch.positiveStart);
    let negative = name(stretch.negativeStart);
    for (let k = 1; k <= count; k++) {
      const nextPositive = k === count ? name(stretch.positiveEnd) : `p${id}_${k}`;
      const nextNegative = k === count ? name(stretch.negativeEnd) : `m${id}_${k}`;
      lines.push(`rp${id}_${k} ${positive} ${nextPositive} ${positiveOhms}`);
      lines.push(`rm${id}_${k} ${negative} ${nextNegative} ${negativeOhms}`);
      addLoad(lines, `x${id}_${k}`, nextPositive, nextNegative, model, scale);
      positive = nextPositive;
      negative = nextNegative;
    }
  });
  return lines;
}

/** Initial volts of joints, and of pixels by straight lines between them. */
function nodeSets(circuit: Circuit, references: readonly number[], near: Float64Array): string[] {
  const lines: string[] = [];
  near.forEach((volts, node) => {
    if (!references.includes(node) && Number.isFinite(volts)) lines.push(`.nodeset v(n${node})=${volts}`);
  });
  circuit.stretches.forEach((stretch, id) => {
    const { count } = stretch;
    for (let k = 1; k < count; k++) {
      const between = (start: number, end: number) => near[start]! + ((near[end]! - near[start]!) * k) / count;
      lines.push(`.nodeset v(p${id}_${k})=${between(stretch.positiveStart, stretch.positiveEnd)}`);
      lines.push(`.nodeset v(m${id}_${k})=${between(stretch.negativeStart, stretch.negativeEnd)}`);
    }
  });
  return lines;
}

function addLoad(lines: string[], id: string, positive: string, negative: string, model: LoadModel, scale: number) {
  const u = `v(${positive},${negative})`;
  const terms = model.channels.map((channel) => `${scale}*(${channelExpression(channel, u)})`);
  const { quiescentAmps, quiescentVolts } = model;
  if (quiescentAmps > 0) {
    const ramp = `${quiescentAmps}*${u}/${quiescentVolts}`;
    terms.push(`(${u} < 0 ? 0 : (${u} > ${quiescentVolts} ? ${quiescentAmps} : ${ramp}))`);
  }
  if (terms.length > 0) lines.push(`b${id} ${positive} ${negative} i = ${terms.join(' + ')}`);
}

function channelExpression(channel: LoadChannel, u: string): string {
  switch (channel.kind) {
    case 'regulated': {
      const { amps, kneeVolts, zeroVolts } = channel;
      const t = `((${u}-${zeroVolts})/${kneeVolts - zeroVolts})`;
      return `${u} < ${zeroVolts} ? 0 : (${u} > ${kneeVolts} ? ${amps} : ${amps}*${t}*${t}*(3-2*${t}))`;
    }
    case 'resistive':
      return `${u} < ${channel.forwardVolts} ? 0 : (${u}-${channel.forwardVolts})/${channel.ohms}`;
    case 'converter': {
      const { watts, lockoutVolts } = channel;
      const off = 0.9 * lockoutVolts;
      const ramp = `${watts / lockoutVolts}*(${u}-${off})/${lockoutVolts - off}`;
      return `${u} < ${off} ? 0 : (${u} < ${lockoutVolts} ? ${ramp} : ${watts}/${u})`;
    }
  }
}

/** The engine prints its progress; a test's output is kept for what matters. */
async function quietly<T>(work: () => Promise<T>): Promise<T> {
  const { log, warn, error, info, debug } = console;
  const silent = () => undefined;
  Object.assign(console, { log: silent, warn: silent, error: silent, info: silent, debug: silent });
  try {
    return await work();
  } finally {
    Object.assign(console, { log, warn, error, info, debug });
  }
}
