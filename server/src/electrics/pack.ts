import type { Circuit } from './circuit.ts';
import type { Solution, StretchSummary } from './solution.ts';

/**
 * A solution as one row of numbers, for keeping: as objects, a small circuit's solution is ten times as large as what it
 * says. Its circuit tells how many there are of each kind.
 */
export function packed(solution: Solution): Float64Array {
  const { nodeVolts, resistorAmps, sourceAmps, sourceLimited, loadAmps, loadVolts, dead, stretches } = solution;
  const row = [solution.iterations, solution.currentResidual, solution.powerResidual];
  for (const list of [nodeVolts, resistorAmps, sourceAmps, sourceLimited, loadAmps, loadVolts, dead])
    for (const value of list) row.push(value);
  for (const stretch of stretches) {
    for (const field of FIELDS) row.push(stretch[field]);
    row.push(stretch.pixelVolts?.length ?? 0);
    for (const volts of stretch.pixelVolts ?? []) row.push(volts);
  }
  return Float64Array.from(row);
}

/** The solution that was packed, of the circuit that it was found for. */
export function unpacked(row: Float64Array, circuit: Circuit): Solution {
  let at = 3;
  const next = (count: number) => {
    at += count;
    return row.slice(at - count, at);
  };
  const { nodeCount, resistors, sources, loads } = circuit;
  // In the order in which a solution is described: objects of one shape are read without asking which one it is.
  return {
    status: 'solved',
    nodeVolts: next(nodeCount),
    resistorAmps: next(resistors.length),
    sourceAmps: next(sources.length),
    sourceLimited: Uint8Array.from(next(sources.length)),
    loadAmps: next(loads.length),
    loadVolts: next(loads.length),
    dead: Uint8Array.from(next(nodeCount)),
    stretches: circuit.stretches.map((): StretchSummary => {
      const from = at;
      at += FIELDS.length;
      const summary: StretchSummary = {
        leastVolts: row[from],
        leastPixel: row[from + 1],
        positiveStartAmps: row[from + 2],
        positiveEndAmps: row[from + 3],
        negativeStartAmps: row[from + 4],
        negativeEndAmps: row[from + 5],
        amps: row[from + 6],
      };
      const pixelVolts = next(row[at++]);
      return pixelVolts.length === 0 ? summary : { ...summary, pixelVolts };
    }),
    iterations: row[0],
    currentResidual: row[1],
    powerResidual: row[2],
  };
}

const FIELDS = [
  'leastVolts',
  'leastPixel',
  'positiveStartAmps',
  'positiveEndAmps',
  'negativeStartAmps',
  'negativeEndAmps',
  'amps',
] as const satisfies readonly (keyof StretchSummary)[];
