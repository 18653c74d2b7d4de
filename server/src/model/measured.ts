import { nominal } from './corners.ts';
import type { Island } from './islands.ts';
import { jointVolts } from './joint-volts.ts';
import type { Design, Measurement } from './plan.ts';
import type { SolutionCache } from './solution-cache.ts';
import { circuitOf, type IslandCircuit } from './to-circuit.ts';

/** A reading beside what is computed for the look at which it was taken. */
export interface Compared {
  readonly measurement: Measurement;
  readonly computedVolts: number;
}

/** Computes an island for each look at which something was measured on it. Readings without a solution are left out. */
export function compareMeasured(island: Island, design: Design, cache: SolutionCache): Compared[] {
  const solve = cache.series();
  return byLook(island.measurements).flatMap((measurements) => {
    const circuit = circuitAt(island, design, measurements[0] as Measurement);
    const outcome = solve(circuit);
    if (outcome.status !== 'solved') return [];
    return measurements.flatMap((measurement) => {
      const computedVolts = jointVolts(circuit, outcome, measurement.tap);
      return computedVolts === undefined ? [] : [{ measurement, computedVolts }];
    });
  });
}

/** Readings that were taken while the same was lit, together; each group has at least one. */
export function byLook(measurements: readonly Measurement[]): Measurement[][] {
  const looks = new Map<string, Measurement[]>();
  for (const measurement of measurements) {
    const key = `${measurement.look} ${measurement.brightness}`;
    const same = looks.get(key);
    if (same === undefined) looks.set(key, [measurement]);
    else same.push(measurement);
  }
  return [...looks.values()];
}

/** The circuit of an island with the look that was lit when something was measured. */
export function circuitAt(island: Island, design: Design, { look, brightness }: Measurement): IslandCircuit {
  const lit: Design = {
    ...design,
    look: { value: look, origin: undefined, source: 'a reading' },
    brightness: { value: brightness, origin: undefined, source: 'a reading' },
  };
  return circuitOf(island, lit, nominal(lit));
}

/** The nodes between which the meter was held. */
export function jointOf(circuit: IslandCircuit, { tap }: Measurement) {
  const joint = circuit.joints.get(tap.piece)?.get(tap.pixel);
  return joint === undefined || joint.positive < 0 ? undefined : joint;
}
