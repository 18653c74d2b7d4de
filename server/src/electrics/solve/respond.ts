/** How the volts of a solved network respond to a small current: columns of the inverse of its joint matrix. */
import { solveLdl } from './ldl.ts';
import type { Network } from './network.ts';
import { factorChanged } from './newton.ts';

/** Factors the network as it is now, to the last digit. Call once after it has been solved. */
export function factorAll(network: Network): void {
  network.dirty.addAll();
  factorChanged(network);
}

/** Change of every node's volts for 1 A put in at `a` and taken out at `b`, V; 0 at references, NaN where dead. */
export function respond(network: Network, a: number, b: number): Float64Array {
  const { structure, active, moved, step, factor, islands } = network;
  const { rowOf, nodeOf } = structure;
  active.clear();
  for (const [node, amps] of [
    [a, 1],
    [b, -1],
  ] as const) {
    if (rowOf[node] < 0) continue;
    step[rowOf[node]] += amps;
    active.add(rowOf[node]);
  }
  solveLdl(factor, step, active, moved, 0, Infinity);
  const volts = new Float64Array(islands.dead.length);
  for (let node = 0; node < volts.length; node++) if (islands.dead[node]) volts[node] = Number.NaN;
  for (let k = 0; k < moved.size; k++) {
    const row = moved.items[k];
    volts[nodeOf[row]] = step[row];
    step[row] = 0;
  }
  moved.clear();
  active.clear();
  return volts;
}
