import { type Account, readIslands } from './account.ts';
import { mainsWatts } from './circuit-load.ts';
import { nominal } from './corners.ts';
import type { Season } from './mains.ts';
import type { Circuit, Design, Plan } from './plan.ts';
import { SolutionCache } from './solution-cache.ts';
import { share } from './texts.ts';
import { circuitOf } from './to-circuit.ts';

export interface SeasonEnergy {
  readonly joules: number;
  readonly cost: number | undefined;
}

/** Energy of the season from the mains, J, and its cost in the plan's money; the circuits' own and that of all supplies. */
export interface SeasonAccount extends SeasonEnergy {
  readonly season: Season;
  readonly circuits: ReadonlyMap<Circuit, SeasonEnergy>;
  /** Of supplies on no circuit; undefined where all are on one. */
  readonly rest: SeasonEnergy | undefined;
  /** Parts of the plan without a solution; what they draw is not counted. */
  readonly unsolved: number;
}

/**
 * Solves the display once more, white at the season's average brightness: what the pixels draw when dark and what is lost
 * in the wires do not follow brightness in a straight line. Efficiency is taken as at full load; at part load most supplies
 * do a little worse. Undefined where the plan states no season.
 */
export function seasonAccount(plan: Plan, account: Account): SeasonAccount | undefined {
  if (plan.design.season === undefined) return undefined;
  let made = kept.get(account);
  if (made === undefined) {
    made = makeSeason(plan.design, plan.design.season, account);
    kept.set(account, made);
  }
  return made;
}

const kept = new WeakMap<Account, SeasonAccount>();

function makeSeason(design: Design, season: Season, account: Account): SeasonAccount {
  const lit: Design = {
    ...design,
    look: { value: 'full-white', origin: undefined, source: 'the season' },
    brightness: season.brightness,
  };
  const cache = new SolutionCache(1);
  const solved = account.islands.map(({ island }) => {
    const circuit = circuitOf(island, lit, nominal(lit));
    return { island, circuit, outcome: cache.solve(circuit) };
  });
  const lasts = season.nights * season.seconds;
  const priced = (joules: number) => ({ joules, cost: season.price === undefined ? undefined : joules * season.price });
  const byCircuit = new Map<Circuit | undefined, number>();
  for (const [supply, load] of readIslands(solved).supplies) {
    const before = byCircuit.get(supply.circuit) ?? 0;
    byCircuit.set(supply.circuit, before + mainsWatts(supply, load.watts) * lasts);
  }
  const rest = byCircuit.get(undefined);
  return {
    season,
    ...priced([...byCircuit.values()].reduce((sum, joules) => sum + joules, 0)),
    circuits: new Map(
      [...byCircuit].flatMap(([circuit, joules]) => (circuit === undefined ? [] : [[circuit, priced(joules)]])),
    ),
    rest: rest === undefined ? undefined : priced(rest),
    unsolved: solved.filter(({ outcome }) => outcome.status !== 'solved').length,
  };
}

/** "123 kWh, 36.90 to pay", by the plan's price. */
export function energyText({ joules, cost }: SeasonEnergy): string {
  const energy = kilowattHours(joules / 3.6e6);
  return cost === undefined ? energy : `${energy}, cost ${cost.toFixed(2)}`;
}

export function kilowattHours(hours: number): string {
  return `${hours < 9.95 ? hours.toFixed(2) : hours < 99.5 ? hours.toFixed(1) : hours.toFixed(0)} kWh`;
}

/** "40 nights of 5 h, white at 30 %". */
export function nightsText({ nights, seconds, brightness }: Season): string {
  return `${nights} nights of ${Number((seconds / 3600).toPrecision(3))} h, white at ${share(brightness.value)}`;
}
