import { sure } from '#grammar/sure.ts';
import type { LoadModel } from '../electrics/circuit.ts';
import { compileLoadCurve, curveAmps } from '../electrics/solve/load-curve.ts';
import type { Supply } from '../model/plan.ts';
import type { IslandCircuit } from '../model/to-circuit.ts';
import { Zones } from '../model/zones.ts';

/**
 * V by which other supplies that share grounds with one may draw any ground below what it would be without them;
 * infinite where nothing can be said.
 *
 * Let the supply's own negative be 0 V. All currents that go out on another supply's V+ come back to its negative, since
 * its V+ meets no other. A load k of I amps there puts I into the ground at k and takes it out at the supply's T: that
 * moves the ground at any place j by I times the voltage between k and T when one ampere goes in at j and out at 0 V.
 * As in any network of resistors, this is no more than the resistance between k and T, and that is no more than the
 * resistance of any one way from k to T; feeds that are added only lower it. So the sum over all loads of what each
 * draws at most, times its way back, is a bound whatever is fed where.
 */
export function groundSlack(base: IslandCircuit, supply: Supply): number {
  const zones = Zones.in(base);
  const own = zones.of(sure(base.supplies.get(supply)).positive);
  const groups = new Map<number, { negatives: number[]; volts: number }>();
  for (const [index, { positive, negative, volts }] of base.circuit.sources.entries()) {
    if (base.sources[index] === supply) continue;
    const zone = zones.of(positive);
    if (zone === own) return Number.POSITIVE_INFINITY;
    const group = groups.get(zone) ?? { negatives: [], volts: 0 };
    group.negatives.push(negative);
    group.volts = Math.max(group.volts, volts);
    groups.set(zone, group);
  }
  let sum = 0;
  for (const [zone, { negatives, volts }] of groups) {
    const loads = loadsIn(base, zones, zone, volts);
    if (loads.length === 0) continue;
    const ways = negatives.map((negative) => groundOhms(base, negative));
    for (const load of loads) sum += Math.max(...ways.map((ohms) => load(ohms)));
    if (sum > GROUND_SLACK) return Number.POSITIVE_INFINITY;
  }
  return sum;
}

/** V beyond which the bound would let nearly everything pass. */
export const GROUND_SLACK = 0.2;

/** Loads of a V+ zone: for the ohms from a supply to each node, amps at most times the way back, added up. */
function loadsIn({ circuit }: IslandCircuit, zones: Zones, zone: number, volts: number) {
  const loads: ((ohms: Float64Array) => number)[] = [];
  for (const { positive, negative, model, scale } of circuit.loads) {
    if (zones.of(positive) === zone) loads.push((ohms) => mostAmps(model, scale, volts) * (ohms[negative] as number));
  }
  for (const stretch of circuit.stretches) {
    if (zones.of(stretch.positiveStart) !== zone) continue;
    const { count, negativeOhms, negativeStart, negativeEnd } = stretch;
    const each = mostAmps(stretch.model, stretch.scale, volts);
    // Pixel k has k pitches to the start, count - k to the end.
    loads.push((ohms) => {
      const byStart = count * (ohms[negativeStart] as number) + (negativeOhms * count * (count + 1)) / 2;
      const byEnd = count * (ohms[negativeEnd] as number) + (negativeOhms * count * (count - 1)) / 2;
      return each * Math.min(byStart, byEnd);
    });
  }
  return loads;
}

/** What a load draws at most at any voltage up to some, A. A converter draws most just above its lockout. */
function mostAmps(model: LoadModel, scale: number, volts: number): number {
  let held = 0;
  const rising = model.channels.filter((channel) => {
    if (channel.kind === 'converter') held += (channel.watts * scale) / channel.lockoutVolts;
    return channel.kind !== 'converter';
  });
  return curveAmps(compileLoadCurve({ ...model, channels: rising }, scale), volts) + held;
}

/** Ohms of the best single way over metal from a node to every other. */
function groundOhms({ circuit }: IslandCircuit, from: number): Float64Array {
  const ways: { to: number; ohms: number }[][] = Array.from({ length: circuit.nodeCount }, () => []);
  const join = (a: number, b: number, ohms: number) => {
    sure(ways[a]).push({ to: b, ohms });
    sure(ways[b]).push({ to: a, ohms });
  };
  for (const { a, b, ohms } of circuit.resistors) join(a, b, ohms);
  for (const { negativeStart, negativeEnd, count, negativeOhms } of circuit.stretches)
    join(negativeStart, negativeEnd, count * negativeOhms);
  const best = new Float64Array(circuit.nodeCount).fill(Number.POSITIVE_INFINITY);
  best[from] = 0;
  const open = [from];
  for (let at = open.pop(); at !== undefined; at = open.pop()) {
    for (const { to, ohms } of sure(ways[at])) {
      const sum = (best[at] as number) + ohms;
      if (sum >= (best[to] as number)) continue;
      best[to] = sum;
      open.push(to);
    }
  }
  return best;
}
