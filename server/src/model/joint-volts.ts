import { sure } from '#grammar/sure.ts';
import type { Solution, Unsolved } from '../electrics/solution.ts';
import type { Tap } from './plan.ts';
import type { IslandCircuit } from './to-circuit.ts';

/** V between V+ and ground at a joint; undefined where the circuit has no such joint or no solution. */
export function jointVolts(circuit: IslandCircuit, outcome: Solution | Unsolved, tap: Tap): number | undefined {
  const joint = circuit.joints.get(tap.piece)?.get(tap.pixel);
  if (outcome.status !== 'solved' || joint === undefined || joint.positive < 0) return undefined;
  const volts = sure(outcome.nodeVolts[joint.positive]) - sure(outcome.nodeVolts[joint.negative]);
  return Number.isFinite(volts) ? volts : 0;
}
