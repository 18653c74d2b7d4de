/**
 * Kirchhoff's laws on a whole solution, pixel by pixel, with every element as `circuit.ts` defines it and nothing of the
 * solver's own reductions. Where all currents rise with their voltages, what obeys them is the only solution.
 */
import type { Circuit, LoadChannel, LoadModel, Source } from '#server/electrics/circuit.ts';
import type { Solution } from '#server/electrics/solution.ts';
import { expandStretch } from '#server/electrics/solve.ts';

/** Current of a load by its definition, A. */
export function definedAmps({ quiescentAmps, quiescentVolts, channels }: LoadModel, scale: number, u: number): number {
  const quiescent = quiescentAmps > 0 ? quiescentAmps * Math.min(1, Math.max(0, u / quiescentVolts)) : 0;
  return quiescent + scale * channels.reduce((sum, channel) => sum + channelAmps(channel, u), 0);
}

function channelAmps(channel: LoadChannel, u: number): number {
  switch (channel.kind) {
    case 'regulated': {
      const t = Math.min(1, Math.max(0, (u - channel.zeroVolts) / (channel.kneeVolts - channel.zeroVolts)));
      return channel.amps * t * t * (3 - 2 * t);
    }
    case 'resistive':
      return Math.max(0, (u - channel.forwardVolts) / channel.ohms);
    case 'converter': {
      const { watts, lockoutVolts } = channel;
      if (u >= lockoutVolts) return watts / u;
      return (watts / lockoutVolts) * Math.max(0, (u - 0.9 * lockoutVolts) / (0.1 * lockoutVolts));
    }
  }
}

/** Current of a source by its definition; one without resistance is taken to have a micro-ohm, as the solver says. */
export function definedSourceAmps({ volts, ohms, maxAmps }: Source, u: number): number {
  return Math.min(Math.max((volts - u) / Math.max(ohms, 1e-6), 0), maxAmps);
}

/** The faults of a solution: what differs from Kirchhoff's laws and from its own figures by more than `tolerance`. */
export function kirchhoffFaults(circuit: Circuit, solution: Solution, tolerance = 1e-7): string[] {
  const sums = new Sums(circuit, solution, tolerance);
  circuit.resistors.forEach((_, id) => sums.resistor(id));
  circuit.sources.forEach((_, id) => sums.source(id));
  circuit.loads.forEach((_, id) => sums.load(id));
  circuit.stretches.forEach((_, id) => sums.stretch(id));
  sums.close();
  return sums.faults;
}

class Sums {
  readonly faults: string[] = [];
  private readonly into: Float64Array;
  private readonly volts: Float64Array;
  private readonly scale: number;
  private supplied = 0;
  private used = 0;
  private readonly circuit: Circuit;
  private readonly solution: Solution;
  private readonly tolerance: number;

  constructor(circuit: Circuit, solution: Solution, tolerance: number) {
    this.circuit = circuit;
    this.solution = solution;
    this.tolerance = tolerance;
    this.volts = solution.nodeVolts;
    this.into = new Float64Array(circuit.nodeCount);
    this.scale = Math.max(1, ...solution.sourceAmps);
  }

  resistor(id: number): void {
    const { a, b, ohms } = this.circuit.resistors[id]!;
    const isDark = this.solution.dead[a] === 1 || ohms === Infinity;
    const amps = isDark ? 0 : (this.volts[a]! - this.volts[b]!) / ohms;
    // Volts have rounding errors, which a contact of a milliohm turns into microamps.
    this.same(`resistor ${id}`, this.solution.resistorAmps[id]!, amps, 1e-13 / ohms);
    this.flow(a, b, this.solution.resistorAmps[id]!);
  }

  source(id: number): void {
    const source = this.circuit.sources[id]!;
    const isDead = this.solution.dead[source.negative] === 1;
    // One that takes no part delivers nothing, as at its own open-circuit volts.
    const u = isDead ? source.volts : this.volts[source.positive]! - this.volts[source.negative]!;
    const amps = this.solution.sourceAmps[id]!;
    this.same(`source ${id}`, amps, definedSourceAmps(source, u), 1e-13 / Math.max(source.ohms, 1e-6));
    this.same(`limit of source ${id}`, this.solution.sourceLimited[id]!, amps >= source.maxAmps ? 1 : 0);
    this.flow(source.negative, source.positive, amps);
    this.supplied += amps * u;
  }

  load(id: number): void {
    const { positive, negative, model, scale } = this.circuit.loads[id]!;
    const u = this.solution.dead[positive] === 1 ? 0 : this.volts[positive]! - this.volts[negative]!;
    const amps = this.solution.loadAmps[id]!;
    this.same(`volts of load ${id}`, this.solution.loadVolts[id]!, u);
    this.same(`load ${id}`, amps, definedAmps(model, scale, u));
    this.flow(positive, negative, amps);
    this.used += amps * u;
  }

  stretch(id: number): void {
    const stretch = this.circuit.stretches[id]!;
    const { count, positiveOhms, negativeOhms, model, scale } = stretch;
    const said = this.solution.stretches[id]!;
    const pixels = expandStretch(this.circuit, this.solution, id);
    const isDark = this.solution.dead[stretch.positiveStart] === 1;
    let positive = isDark ? 0 : this.volts[stretch.positiveStart]!;
    let negative = isDark ? 0 : this.volts[stretch.negativeStart]!;
    let [inPositive, inNegative] = [said.positiveStartAmps, said.negativeStartAmps];
    let [least, at, sum] = [Infinity, 0, 0];
    for (let k = 1; k <= count; k++) {
      const u = pixels.volts[k - 1]!;
      const nextNegative = pixels.negativeVolts[k - 1]!;
      const amps = definedAmps(model, scale, u);
      this.same(`stretch ${id}, pixel ${k}`, pixels.amps[k - 1]!, amps);
      const rounding = 1e-13 / Math.min(positiveOhms, negativeOhms);
      this.same(`V+ before pixel ${k} of ${id}`, inPositive, (positive - nextNegative - u) / positiveOhms, rounding);
      this.same(`ground before pixel ${k} of ${id}`, inNegative, (negative - nextNegative) / negativeOhms, rounding);
      this.used += inPositive ** 2 * positiveOhms + inNegative ** 2 * negativeOhms + amps * u;
      [positive, negative] = [nextNegative + u, nextNegative];
      [inPositive, inNegative] = [inPositive - amps, inNegative + amps];
      if (u < least - 1e-12) [least, at] = [u, k];
      sum += amps;
    }
    this.same(`least volts of ${id}`, said.leastVolts, least);
    if (Math.abs(pixels.volts[said.leastPixel - 1]! - least) > 1e-9) this.faults.push(`least pixel of ${id}, ${at}`);
    this.same(`amps of ${id}`, said.amps, sum);
    this.same(`V+ after ${id}`, said.positiveEndAmps, inPositive);
    this.same(`ground after ${id}`, said.negativeEndAmps, inNegative);
    if (isDark) return;
    this.same(`end of ${id}`, positive, this.volts[stretch.positiveEnd]!);
    this.same(`ground at the end of ${id}`, negative, this.volts[stretch.negativeEnd]!);
    this.into[stretch.positiveStart]! -= said.positiveStartAmps;
    this.into[stretch.negativeStart]! -= said.negativeStartAmps;
    this.into[stretch.positiveEnd]! += said.positiveEndAmps;
    this.into[stretch.negativeEnd]! += said.negativeEndAmps;
  }

  /** Nothing piles up at any joint, and no power is lost. */
  close(): void {
    this.into.forEach((amps, node) => this.same(`node ${node}`, amps, 0));
    this.circuit.resistors.forEach(({ ohms }, id) => {
      if (ohms < Infinity) this.used += this.solution.resistorAmps[id]! ** 2 * ohms;
    });
    this.same('power', this.used, this.supplied, 1e-7 * this.supplied);
    const { currentResidual, powerResidual } = this.solution;
    if (!(currentResidual >= 0 && currentResidual < 1e-7)) this.faults.push(`current residual ${currentResidual}`);
    if (!(powerResidual >= 0 && powerResidual < 1e-6)) this.faults.push(`power residual ${powerResidual}`);
  }

  private flow(from: number, to: number, amps: number): void {
    this.into[from]! -= amps;
    this.into[to]! += amps;
  }

  private same(what: string, actual: number, expected: number, rounding = 0): void {
    const allowed = this.tolerance * Math.max(this.scale, Math.abs(expected)) + rounding;
    if (!(Math.abs(actual - expected) <= allowed)) this.faults.push(`${what}: ${actual}, not ${expected}`);
  }
}
