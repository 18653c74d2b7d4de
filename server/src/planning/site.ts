import { NOTICEABLE } from '../checks/worsens.ts';
import { deratedOf } from '../model/derating.ts';
import type { Plan, Run, Supply } from '../model/plan.ts';
import { Bound } from './bound.ts';
import { Capacity } from './capacity.ts';
import { spotsOfSupply } from './choice.ts';
import { GROUND_SLACK, groundSlack } from './ground-slack.ts';
import { leastAmps, leastVolts } from './least-draw.ts';
import { foreignStretches } from './run-network.ts';
import type { Spot } from './spots.ts';
import { Trial } from './trial.ts';

/** All that is known of feeding a run from one supply. */
export interface Site {
  readonly spots: readonly Spot[];
  readonly trial: Trial;
  readonly bound: Bound | undefined;
  readonly capacity: Capacity;
  /** The bound holds for what is really built (see Bound). */
  readonly isStrict: boolean;
}

/** Undefined where no feed of the supply may join the run, or none can be enough. */
export function siteOf(
  plan: Plan,
  run: Run,
  supply: Supply,
  all: readonly Spot[],
  useBound: boolean,
): Site | undefined {
  const trial = new Trial(plan, run, supply, all);
  const spots = spotsOfSupply(trial.base, supply, all);
  if (spots.length === 0 || supply.volts === undefined) return undefined;
  const { base, conditions } = trial.hardest;
  const below = groundSlack(base, supply);
  const isStrict = below <= GROUND_SLACK;
  if (isStrict && isTooMuch(plan, run, supply, trial)) return undefined;
  // Where its V+ meets that of others, the highest of them counts.
  const set = isStrict
    ? supply.volts.value
    : Math.max(...base.sources.map((source) => source.volts?.value ?? 0), supply.volts.value);
  const bound = useBound
    ? new Bound(base, run, supply, spots, conditions, set, isStrict ? below : GROUND_SLACK)
    : undefined;
  const capacity = new Capacity(plan, run, base, set * conditions.supplies);
  return { spots, trial, bound, capacity, isStrict: isStrict || !useBound };
}

/**
 * Whether the run, once it holds its voltage, draws more than the supply should give and gives now: that would be a new
 * finding, or a worse one. A supply whose V+ meets no other feeds all that no other one does.
 */
function isTooMuch(plan: Plan, run: Run, supply: Supply, trial: Trial): boolean {
  const limit =
    (deratedOf(plan.design, supply)?.amps ?? supply.part?.rated ?? Infinity) * plan.design.supplyShare.value;
  const { base, conditions } = trial.hardest;
  const foreign = foreignStretches(base, run, supply);
  const volts = (supply.volts?.value ?? 0) * conditions.supplies + GROUND_SLACK;
  let least = 0;
  for (const [index, role] of base.stretches.entries()) {
    const stretch = base.circuit.stretches[index];
    if (role.run !== run || stretch === undefined || foreign.has(index)) continue;
    least += stretch.count * leastAmps(stretch.model, stretch.scale, leastVolts(role.piece), volts);
  }
  return least > Math.max(limit, trial.mostGiven) + NOTICEABLE * limit;
}
