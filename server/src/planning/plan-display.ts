import { sure } from '#grammar/sure.ts';
import { finish, type Steps } from '../model/steps.ts';
import { count, metres } from '../model/texts.ts';
import { type Bench, isWanting, isWorse, wantingRuns } from './bench.ts';
import { currencyOf } from './choice.ts';
import { compareDisplayCosts, type DisplayCost, lesserCost, NOTHING, sumOfCosts } from './display-cost.ts';
import { fewestSupplies } from './fewest-supplies.ts';
import { withMoreSupplies } from './more-supplies.ts';
import {
  floorOfRuns,
  type Proposal,
  planApart,
  planTogether,
  type RunsPlan,
  type Step,
  variantsFor,
} from './plan-runs.ts';
import { cablesFor } from './reach.ts';
import { whyNoInjection } from './reasons.ts';
import { areAlike, strongestTrunks, type Trunk, trunksTo, withSources } from './sources.ts';
import { suggestCut } from './suggest-cut.ts';
import { tidied } from './write-source.ts';

export interface DisplayPlan {
  readonly steps: readonly Step[];
  /** Runs that stay wanting, and why. */
  readonly open: readonly { readonly run: string; readonly reason: string }[];
  readonly cost: DisplayCost;
  /** No feeds of one cable for each run, from what there is or from boards on trunks, cost less. */
  readonly bound: DisplayCost;
  /** The currency that the material is counted in; undefined where it is copper. */
  readonly currency: string | undefined;
  readonly bench: Bench;
}

const MOST_CUTS = 12;
/** Sets of trunks that are planned with, where the display is small. */
const MOST_TRIED = 24;
const MOST_TRUNKS = 4;

/**
 * Plans the injection of a whole display: V+ is cut where supplies meet; then each run that is wanting gets feeds of its
 * own (see planApart). Where these would take limited routes, boards on trunks to the places of the runs are tried in their
 * stead, and where some run stays wanting, another supply.
 */
export function planDisplay(start: Bench): DisplayPlan {
  return finish(planDisplaySteps(start));
}

/** The same in steps. */
export function* planDisplaySteps(start: Bench): Steps<DisplayPlan> {
  const cut = yield* cutApart(start);
  const plain = yield* planApart(cut.bench);
  const search = new TrunkSearch(cut.bench, plain);
  const found = yield* withSupplies(cut.bench, yield* search.find());
  const fewest = { ...NOTHING, supplies: found.cost.supplies > 0 ? fewestSupplies(start.ctx) : 0 };
  const { ctx } = found.bench;
  return {
    steps: [...cut.steps, ...found.steps],
    open: [...ctx.plan.runs.values()]
      .filter((run) => isWanting(ctx, run))
      .map((run) => ({ run: run.name, reason: whyNoInjection(ctx, run) })),
    cost: found.cost,
    bound: compareDisplayCosts(fewest, search.bound) > 0 ? fewest : search.bound,
    currency: currencyOf(cablesFor(ctx.plan)),
    bench: found.bench,
  };
}

/** With more supplies where some run stays wanting: in place of what was found, or else beside it. */
function* withSupplies(start: Bench, found: Proposal): Steps<Proposal> {
  const { unserved } = found.cost;
  const instead = yield* withMoreSupplies(start, found);
  if (instead.cost.unserved === 0 || found.steps.length === 0) return instead;
  const nothing: Proposal = { bench: found.bench, cost: { ...NOTHING, unserved }, steps: [] };
  const more = yield* withMoreSupplies(found.bench, nothing);
  const cost = sumOfCosts([{ ...found.cost, unserved: 0 }, more.cost]);
  if (compareDisplayCosts(cost, instead.cost) >= 0) return instead;
  return { bench: more.bench, cost, steps: [...found.steps, ...more.steps] };
}

function* cutApart(start: Bench): Steps<{ readonly bench: Bench; readonly steps: readonly Step[] }> {
  const steps: Step[] = [];
  let bench = start;
  for (let cuts = 0; cuts < MOST_CUTS; cuts++) {
    const { ctx } = bench;
    const found = ctx.preview([]).findings.find(({ code }) => code === 'supplies-meet');
    const fix = found === undefined ? undefined : (yield* suggestCut(ctx, found))[0];
    if (fix === undefined) break;
    steps.push({ subject: sure(found?.subject), title: fix.title });
    bench = bench.after(fix.edits);
  }
  return { bench, steps };
}

/**
 * The trunks that cost least together with the feeds from their boards. Sets of trunks are taken up best first, by what
 * they cost without any feed, each with the strongest cables; where that cannot be less than the best plan so far, no set
 * that is left can. Then thinner cables are tried.
 */
class TrunkSearch {
  /** Nothing that was looked at, or need not be, costs less. */
  bound: DisplayCost;
  private best: Proposal;
  private trunks: readonly Trunk[] = [];
  private readonly start: Bench;
  private readonly plain: RunsPlan;
  private readonly all: readonly Trunk[];
  private readonly floors = new Map<string, DisplayCost>();
  /** Sets of trunks that may still be planned with. */
  private left: number;

  constructor(start: Bench, plain: RunsPlan) {
    this.start = start;
    this.plain = plain;
    this.best = plain;
    this.bound = plain.floor;
    const wanting = wantingRuns(start.ctx);
    this.all = trunksTo(start.ctx.plan, wanting);
    this.left = variantsFor(wanting.length, MOST_TRIED);
  }

  *find(): Steps<Proposal> {
    const strongest = strongestTrunks(this.all);
    let open: (readonly Trunk[])[] = strongest.map((trunk) => [trunk]);
    while (open.length > 0) {
      open = open.filter((trunks) => compareDisplayCosts(this.leastOf(trunks), this.best.cost) < 0);
      open.sort((a, b) => compareDisplayCosts(this.leastOf(a), this.leastOf(b)));
      const [next] = open;
      if (next === undefined) break;
      if (this.left <= 0 || next.length > MOST_TRUNKS) {
        this.bound = lesserCost(this.bound, this.leastOf(next));
        break;
      }
      open.shift();
      // Each set once: its trunks in the order of the list, one twice where a fuse is not enough.
      const last = strongest.indexOf(next.at(-1) as Trunk);
      if (yield* this.look(next)) open.push(...strongest.slice(last).map((trunk) => [...next, trunk]));
    }
    yield* this.thinOut();
    return this.best;
  }

  /** The same trunks with thinner cables, one after the other. */
  private *thinOut(): Steps<void> {
    for (const index of this.trunks.keys()) {
      const now = this.trunks[index] as Trunk;
      const thinner = this.all
        .filter((other) => areAlike(other, now) && other.cost.material < now.cost.material)
        .sort((a, b) => a.cost.material - b.cost.material);
      for (const other of thinner) {
        if (this.left <= 0) return;
        if (this.trunks[index] === now) yield* this.look(this.trunks.with(index, other));
      }
    }
  }

  /** What a set of trunks costs at least, whatever their cables. */
  private leastOf(trunks: readonly Trunk[]): DisplayCost {
    const material = (trunk: Trunk) =>
      Math.min(...this.all.filter((other) => areAlike(other, trunk)).map(({ cost }) => cost.material));
    return sumOfCosts(trunks.map((trunk) => ({ ...trunk.cost, material: material(trunk) })));
  }

  /** Plans with some trunks, and keeps the plan if it costs less than the best; whether more trunks may be put beside them. */
  private *look(trunks: readonly Trunk[]): Steps<boolean> {
    const put = withSources(this.start, trunks);
    if (put === undefined || isWorse(this.start, put.bench)) return false;
    this.left--;
    const floor = yield* this.floorWith(trunks, put.bench);
    const added = sumOfCosts(trunks.map(({ cost }) => cost));
    if (compareDisplayCosts(sumOfCosts([added, floor]), this.best.cost) >= 0) return true;
    const planned = yield* planTogether(put.bench, added, this.best.cost);
    if (planned === undefined) return true;
    const cost = sumOfCosts([added, planned.cost]);
    const bench = put.names.reduce<Bench | undefined>((then, name) => then && tidyBoard(then, name), planned.bench);
    if (bench === undefined || compareDisplayCosts(cost, this.best.cost) >= 0 || isWorse(this.start, bench))
      return true;
    const steps = trunks.map((trunk, index) => this.stepOf(trunk, sure(put.names[index]), bench, cost));
    this.best = { bench, cost, steps: [...steps, ...planned.steps] };
    this.trunks = trunks;
    return true;
  }

  /** What feeds cost at least with boards where these trunks end, whatever their cables: the bound takes them for perfect. */
  private *floorWith(trunks: readonly Trunk[], bench: Bench): Steps<DisplayCost> {
    const key = trunks.map(({ place, choice }) => `${choice.owner.name} ${place?.name}`).join(', ');
    let floor = this.floors.get(key);
    if (floor === undefined) {
      floor = yield* floorOfRuns(bench);
      this.floors.set(key, floor);
    }
    this.bound = lesserCost(this.bound, sumOfCosts([this.leastOf(trunks), floor]));
    return floor;
  }

  /** "One trunk to roof, 14 m of two-core-12, for 4 feeds: 1 cable through limited routes, not 4" */
  private stepOf({ place, choice }: Trunk, name: string, { ctx }: Bench, cost: DisplayCost): Step {
    const { plan } = ctx;
    const feeds = [...plan.feeds.values()].filter(({ from }) => from?.board?.name === name).length;
    const length = metres(sure(plan.boards.get(name)).length, plan.design.units);
    const doubled = choice.parallel > 1 ? ` x ${choice.parallel}` : '';
    const { unserved, limitedCables } = this.plain.cost;
    const why =
      unserved > cost.unserved
        ? `with feeds of their own from ${choice.owner.name}, ${count(unserved, 'run')} would stay wanting`
        : `${count(cost.limitedCables, 'cable')} through limited routes, not ${limitedCables}`;
    const title = `One trunk to ${place?.name}, ${length} of ${choice.cable.name}${doubled}, for ${count(feeds, 'feed')}: ${why}`;
    return { subject: name, title };
  }
}

function tidyBoard(bench: Bench, name: string): Bench | undefined {
  const edits = tidied(bench.ctx.plan, name);
  return edits && bench.after(edits);
}
