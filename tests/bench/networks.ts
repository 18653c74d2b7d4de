/** Seeded networks to measure on: a display of many runs with injection, and a mesh of joints. */
import type { Circuit, Load, LoadModel, Resistor, Source, Stretch } from '#server/electrics/circuit.ts';
import { seededRandom } from '../support/random-circuit.ts';

/** Three channels of 20 mA at 12 V; red holds to 9.9 V, green and blue begin to starve below 10.6 V. */
export const pixel: LoadModel = {
  quiescentAmps: 0.0008,
  quiescentVolts: 4,
  channels: [
    { kind: 'regulated', amps: 0.02, kneeVolts: 9.9, zeroVolts: 9.2 },
    { kind: 'regulated', amps: 0.02, kneeVolts: 10.55, zeroVolts: 9.8 },
    { kind: 'regulated', amps: 0.02, kneeVolts: 10.6, zeroVolts: 9.85 },
  ],
};

/** The same with knees so high that most of the display's pixels are below one. */
export const thirstyPixel: LoadModel = {
  ...pixel,
  channels: [
    { kind: 'regulated', amps: 0.02, kneeVolts: 9.9, zeroVolts: 9.2 },
    { kind: 'regulated', amps: 0.02, kneeVolts: 10.9, zeroVolts: 10.1 },
    { kind: 'regulated', amps: 0.02, kneeVolts: 11.0, zeroVolts: 10.2 },
  ],
};

/**
 * Runs of pixels, each with its own supply and a feed about every hundred pixels (fuse, cable and connector out, cable
 * and connector back), and grounds joined from run to run. Every stretch differs a little from every other.
 */
export function displayCircuit(runs: number, pixelsPerRun: number, seed = 1, model = pixel): Circuit {
  const random = seededRandom(seed);
  const about = (value: number) => value * (0.9 + 0.2 * random());
  let nodeCount = 0;
  const resistors: Resistor[] = [];
  const sources: Source[] = [];
  const stretches: Stretch[] = [];
  const join = (a: number, b: number, ohms: number) => resistors.push({ a, b, ohms: about(ohms) });
  for (let run = 0; run < runs; run++) {
    const positive = nodeCount++;
    const negative = nodeCount++;
    sources.push({ positive, negative, volts: 12 + 0.2 * random(), ohms: 0.003, maxAmps: 90 });
    if (run > 0) join(negative, sources[run - 1]!.negative, 0.05);
    let left = pixelsPerRun;
    let start = feed(positive, negative);
    while (left > 0) {
      const count = Math.min(left, 90 + Math.floor(20 * random()));
      left -= count;
      const end = feed(positive, negative);
      stretches.push({
        positiveStart: start[0],
        negativeStart: start[1],
        positiveEnd: end[0],
        negativeEnd: end[1],
        count,
        positiveOhms: about(0.0021),
        negativeOhms: about(0.0021),
        model,
        scale: 1,
      });
      start = end;
    }
  }
  return { nodeCount, resistors, sources, loads: [], stretches };

  function feed(positive: number, negative: number): [number, number] {
    const [fused, plug, socket, tap, ground] = [nodeCount, nodeCount + 1, nodeCount + 2, nodeCount + 3, nodeCount + 4];
    nodeCount += 5;
    join(positive, fused, 0.008);
    join(fused, plug, 0.066);
    join(plug, tap, 0.01);
    join(negative, socket, 0.066);
    join(socket, ground, 0.01);
    return [tap, ground];
  }
}

/** A square mesh of joints, `side` by `side` on either rail, with a load at every joint and feeds here and there. */
export function meshCircuit(side: number, seed = 1): Circuit {
  const random = seededRandom(seed);
  const about = (value: number) => value * (0.7 + 0.6 * random());
  const joints = side * side;
  const supply = 2 * joints;
  const resistors: Resistor[] = [];
  const loads: Load[] = [];
  for (let i = 0; i < joints; i++) {
    const neighbours = [...(i % side < side - 1 ? [i + 1] : []), ...(i + side < joints ? [i + side] : [])];
    for (const j of neighbours) {
      resistors.push({ a: 2 * i, b: 2 * j, ohms: about(0.05) }, { a: 2 * i + 1, b: 2 * j + 1, ohms: about(0.05) });
    }
    loads.push({ positive: 2 * i, negative: 2 * i + 1, model: pixel, scale: about(0.8) });
    if (random() < 0.02) {
      resistors.push({ a: supply, b: 2 * i, ohms: about(0.08) }, { a: supply + 1, b: 2 * i + 1, ohms: about(0.08) });
    }
  }
  const sources = [{ positive: supply, negative: supply + 1, volts: 12, ohms: 0.001, maxAmps: Infinity }];
  return { nodeCount: supply + 2, resistors, sources, loads, stretches: [] };
}
