import { type Account, readIslands } from './account.ts';
import { nominal } from './corners.ts';
import type { Season } from './mains.ts';
import type { Circuit, Design, Plan } from './plan.ts';
import { SolutionCache } from './solution-cache.ts';
import { circuitOf } from './to-circuit.ts';

/** Energy of the season from the mains, J, and its cost in the plan's money; the circuits' own and that of all supplies. */
export interface SeasonAccount {
  readonly season: Season;
  readonly joules: number;
  readonly cost: number | undefined;
  readonly circuits: ReadonlyMap<Circuit, { readonly joules: number; readonly cost: number | undefined }>;
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
  const byCircuit = new Map<Circuit, number>();
  let sum = 0;
  for (const [{ part, circuit }, load] of readIslands(solved).supplies) {
    const joules = (load.watts / (part?.efficiency.value ?? 1)) * lasts;
    sum += joules;
    if (circuit !== undefined) byCircuit.set(circuit, (byCircuit.get(circuit) ?? 0) + joules);
  }
  return {
    season,
    ...priced(sum),
    circuits: new Map([...byCircuit].map(([circuit, joules]) => [circuit, priced(joules)])),
    unsolved: solved.filter(({ outcome }) => outcome.status !== 'solved').length,
  };
}

/** "123 kWh, 36.90 to pay", by the plan's price. */
export function energyText({ joules, cost }: { readonly joules: number; readonly cost: number | undefined }): string {
  const hours = joules / 3.6e6;
  const energy = `${hours < 9.95 ? hours.toFixed(2) : hours < 99.5 ? hours.toFixed(1) : hours.toFixed(0)} kWh`;
  return cost === undefined ? energy : `${energy}, cost ${cost.toFixed(2)}`;
}
