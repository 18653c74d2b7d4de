/** Short ways to write circuits and load models in tests. */
import type { Circuit, LoadModel } from '#server/electrics/circuit.ts';
import type { Solution } from '#server/electrics/solution.ts';
import { solve } from '#server/electrics/solve.ts';

const silent = { quiescentAmps: 0, quiescentVolts: 1 } as const;

/** A constant current at any voltage that matters: its knee lies at a millivolt. */
export function constantAmps(amps: number): LoadModel {
  return kneeAmps(amps, 0.001, 0.002);
}

/** A constant current above `kneeVolts` that falls to zero at `zeroVolts`. */
export function kneeAmps(amps: number, zeroVolts: number, kneeVolts: number): LoadModel {
  return { ...silent, channels: [{ kind: 'regulated', amps, zeroVolts, kneeVolts }] };
}

export function resistive(ohms: number, forwardVolts = 0): LoadModel {
  return { ...silent, channels: [{ kind: 'resistive', ohms, forwardVolts }] };
}

export function converter(watts: number, lockoutVolts: number): LoadModel {
  return { ...silent, channels: [{ kind: 'converter', watts, lockoutVolts }] };
}

export const noLoad: LoadModel = { ...silent, channels: [] };

/** An ideal supply: no droop, no limit. */
export function ideal(positive: number, negative: number, volts: number) {
  return { positive, negative, volts, ohms: 0, maxAmps: Infinity };
}

export function circuitOf(parts: Partial<Circuit> & { nodeCount: number }): Circuit {
  return { resistors: [], sources: [], loads: [], stretches: [], ...parts };
}

/** Solves a circuit that must have a solution. */
export function solved(circuit: Circuit): Solution {
  const solution = solve(circuit);
  if (solution.status !== 'solved') throw new Error(`not solved: ${JSON.stringify(solution)}`);
  return solution;
}

/** V between two nodes. */
export function across(solution: Solution, positive: number, negative: number): number {
  return (solution.nodeVolts[positive] ?? Number.NaN) - (solution.nodeVolts[negative] ?? Number.NaN);
}
