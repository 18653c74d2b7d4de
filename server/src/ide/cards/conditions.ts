import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import { cornersOf } from '../../model/corners.ts';
import type { Plan } from '../../model/plan.ts';
import type { SolvedIsland } from '../../model/solved-island.ts';
import { share } from '../../model/texts.ts';

/** The conditions under which every computed figure holds. */
export function conditions({ design }: Plan): string {
  const figures = `Computed for ${design.look.value} at ${share(design.brightness.value)}, air at ${degrees(design.air.value.to)}.`;
  const corners =
    cornersOf(design).length === 0 ? '' : ' Findings are judged at the worst corner of the stated tolerances.';
  return figures + corners;
}

export function degrees(celsius: number): string {
  return `${Number(celsius.toFixed(1))} °C`;
}

/** Why there are no figures for something that stands on an island. */
export function whyUnsolved(analysis: Analysis, stands: (solved: SolvedIsland) => boolean): string {
  const solved = analysis.account.islands.find(stands);
  if (solved === undefined) return 'Nothing is computed, since it is not joined to anything yet.';
  if (solved.outcome.status === 'solved') return 'Nothing is computed for it.';
  const place = sure(solved.circuit.nodes[solved.outcome.node]);
  return `Nothing is computed: no steady voltages were found around ${place}. The wires there may be too thin for the load.`;
}
