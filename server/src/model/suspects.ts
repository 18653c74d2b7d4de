import { sure } from '#grammar/sure.ts';
import { type Explanation, explainReadings, type Reading, type ReadingCase } from '../electrics/explain-readings.ts';
import { byLook, circuitAt, jointOf } from './measured.ts';
import type { Design, Measurement } from './plan.ts';
import type { SolvedIsland } from './solved-island.ts';
import type { IslandCircuit, ResistorRole } from './to-circuit.ts';

/** Standard deviation of a reading: a handheld meter and the contact of its probe, V and share (common practice). */
const METER_VOLTS = 0.02;
const METER_SHARE = 0.005;

/** What the readings on one island say of its joints and conductors. */
export interface Diagnosis {
  readonly measurements: readonly Measurement[];
  readonly nothingWrong: number;
  readonly suspects: readonly NamedSuspect[];
}

export interface NamedSuspect {
  readonly role: ResistorRole;
  readonly extraOhms: number;
  readonly odds: number;
}

/** Looks for the one contact or conductor that explains the readings on an island best; undefined without readings. */
export function diagnose({ island }: SolvedIsland, design: Design): Diagnosis | undefined {
  const circuits: IslandCircuit[] = [];
  const cases = byLook(island.measurements).map((measurements): ReadingCase => {
    const circuit = circuitAt(island, design, measurements[0] as Measurement);
    circuits.push(circuit);
    return { circuit: circuit.circuit, readings: measurements.flatMap((each) => readingOf(circuit, each)) };
  });
  const found: Explanation | undefined = explainReadings(cases);
  if (found === undefined) return undefined;
  return {
    measurements: island.measurements,
    nothingWrong: found.nothingWrong,
    suspects: found.suspects.map(({ resistor, extraOhms, odds }) => {
      return { role: sure(sure(circuits[0]).resistors[resistor]), extraOhms, odds };
    }),
  };
}

function readingOf(circuit: IslandCircuit, measurement: Measurement): Reading[] {
  const joint = jointOf(circuit, measurement);
  const { volts } = measurement;
  return joint === undefined ? [] : [{ ...joint, volts, sigma: Math.max(METER_VOLTS, METER_SHARE * volts) }];
}
