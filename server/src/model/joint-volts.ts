import type { Solution, Unsolved } from '../electrics/solution.ts';
import type { Tap } from './plan.ts';
import type { IslandCircuit } from './to-circuit.ts';

/** V between V+ and ground at a joint; undefined where the circuit has no such joint or no solution. */
export function jointVolts(circuit: IslandCircuit, outcome: Solution | Unsolved, tap: Tap): number | undefined {
  const joint = circuit.joints.get(tap.piece)?.get(tap.pixel);
  if (outcome.status !== 'solved' || joint === undefined || joint.positive < 0) return undefined;
  const volts = (outcome.nodeVolts[joint.positive] ?? 0) - (outcome.nodeVolts[joint.negative] ?? 0);
  return Number.isFinite(volts) ? volts : 0;
}
