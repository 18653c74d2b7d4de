import type { SolvedIsland } from './account.ts';
import type { Tap } from './plan.ts';

/** V between V+ and ground at a joint of a solved island; undefined where the circuit has no such joint. */
export function jointVolts({ circuit, outcome }: SolvedIsland, tap: Tap): number | undefined {
  const joint = circuit.joints.get(tap.piece)?.get(tap.pixel);
  if (outcome.status !== 'solved' || joint === undefined || joint.positive < 0) return undefined;
  const volts = (outcome.nodeVolts[joint.positive] ?? 0) - (outcome.nodeVolts[joint.negative] ?? 0);
  return Number.isFinite(volts) ? volts : 0;
}
