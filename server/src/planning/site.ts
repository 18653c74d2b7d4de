import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import type { Run, Supply } from '../model/plan.ts';
import { Bound } from './bound.ts';
import { Capacity } from './capacity.ts';
import { type Choice, spotsOfSupply } from './choice.ts';
import { GROUND_SLACK, groundSlack } from './ground-slack.ts';
import type { Spot } from './spots.ts';
import { asksTooMuch } from './too-much.ts';
import { CURED_BY_INJECTION, Trial } from './trial.ts';

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
  ctx: SuggestContext,
  run: Run,
  supply: Supply,
  all: readonly Spot[],
  useBound: boolean,
  spared?: ReadonlySet<string>,
): Site | undefined {
  const { plan } = ctx;
  const trial = new Trial(plan, run, supply, all, spared);
  const spots = spotsOfSupply(trial.base, supply, all);
  if (spots.length === 0 || supply.volts === undefined) return undefined;
  const { base, conditions } = trial.hardest;
  const below = groundSlack(base, supply);
  const isStrict = below <= GROUND_SLACK;
  if (isStrict && asksTooMuch(ctx, run, supply, trial)) return undefined;
  // Where its V+ meets that of others, the highest of them counts.
  const set = isStrict
    ? supply.volts.value
    : Math.max(...base.sources.map((source) => sure(source.volts).value), supply.volts.value);
  const bound = useBound
    ? new Bound(base, run, supply, spots, conditions, set, isStrict ? below : GROUND_SLACK)
    : undefined;
  const capacity = new Capacity(plan, run, base, set * conditions.supplies);
  return { spots, trial, bound, capacity, isStrict: isStrict || !useBound };
}

/**
 * Whether the run sags on the real network although it is fed at every place, each with a cable of its own: as where the
 * supply has no more to give. No proof, since a supply that is overloaded gives fewer volts with each feed.
 */
export function sagsWithAll({ trial, spots }: Pick<Site, 'trial' | 'spots'>, strongest: Choice): boolean {
  return trial.worstPixel({ ...strongest, trunk: false }, spots) !== undefined;
}

/**
 * Whether the run stays wanting without feeds of its own, whatever is done about others: it sags although all that it
 * shares with others is taken for perfect, or something is overloaded, which is no less when others sag less.
 */
export function needsFeeds(ctx: SuggestContext, run: Run, sites: readonly (Site | undefined)[]): boolean {
  const { findings } = ctx.preview([]);
  const own = findings.filter(({ code, subject }) => subject === run.name && CURED_BY_INJECTION.has(code));
  if (own.some(({ code }) => code.endsWith('-overloaded'))) return true;
  return sites.every((site) => site === undefined || (site.isStrict && site.bound?.wantingNow() !== undefined));
}
