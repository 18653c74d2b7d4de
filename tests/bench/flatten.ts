/** Writes every pixel of a circuit out as nodes, resistors and loads, for solvers that know no stretches. */
import { writeFileSync } from 'node:fs';
import type { Circuit } from '#server/electrics/circuit.ts';

export interface Flat {
  readonly nodeCount: number;
  readonly resistorEnds: Int32Array;
  readonly resistorOhms: Float64Array;
  readonly loadEnds: Int32Array;
  readonly loadScale: Float64Array;
}

/** Joints keep their numbers; the pixels between them follow, positive and negative in turn. */
export function flatten(circuit: Circuit): Flat {
  let pixels = 0;
  for (const { count } of circuit.stretches) pixels += count;
  const resistorEnds = new Int32Array(2 * (circuit.resistors.length + 2 * pixels));
  const resistorOhms = new Float64Array(circuit.resistors.length + 2 * pixels);
  const loadEnds = new Int32Array(2 * (circuit.loads.length + pixels));
  const loadScale = new Float64Array(circuit.loads.length + pixels);
  let [r, l] = [0, 0];
  const resistor = (a: number, b: number, ohms: number) => {
    resistorEnds.set([a, b], 2 * r);
    resistorOhms[r++] = ohms;
  };
  const load = (positive: number, negative: number, scale: number) => {
    loadEnds.set([positive, negative], 2 * l);
    loadScale[l++] = scale;
  };
  for (const { a, b, ohms } of circuit.resistors) resistor(a, b, ohms);
  for (const { positive, negative, scale } of circuit.loads) load(positive, negative, scale);
  let nodeCount = circuit.nodeCount;
  for (const stretch of circuit.stretches) {
    let [positive, negative] = [stretch.positiveStart, stretch.negativeStart];
    for (let k = 1; k <= stretch.count; k++) {
      const isLast = k === stretch.count;
      const [p, n] = isLast ? [stretch.positiveEnd, stretch.negativeEnd] : [nodeCount, nodeCount + 1];
      if (!isLast) nodeCount += 2;
      resistor(positive, p, stretch.positiveOhms);
      resistor(negative, n, stretch.negativeOhms);
      load(p, n, stretch.scale);
      [positive, negative] = [p, n];
    }
  }
  return { nodeCount, resistorEnds, resistorOhms, loadEnds, loadScale };
}

/** Raw little-endian arrays behind one line of JSON that says how long they are. All loads must share one model. */
export function writeFlat(path: string, circuit: Circuit): void {
  const flat = flatten(circuit);
  const model = circuit.loads[0]?.model ?? circuit.stretches[0]?.model;
  const header = {
    nodes: flat.nodeCount,
    resistors: flat.resistorOhms.length,
    loads: flat.loadScale.length,
    sources: circuit.sources.map((s) => ({ ...s, maxAmps: Number.isFinite(s.maxAmps) ? s.maxAmps : 1e30 })),
    model,
  };
  const bytes = (array: Int32Array | Float64Array) => Buffer.from(array.buffer, array.byteOffset, array.byteLength);
  const line = Buffer.from(`${JSON.stringify(header)}\n`);
  const { resistorEnds, resistorOhms, loadEnds, loadScale } = flat;
  writeFileSync(path, Buffer.concat([line, ...[resistorEnds, resistorOhms, loadEnds, loadScale].map(bytes)]));
}
