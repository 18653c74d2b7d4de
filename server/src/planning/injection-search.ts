import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import type { Run, Supply } from '../model/plan.ts';
import { finish, type Steps } from '../model/steps.ts';
import { type Answer, addByKind, answerOf, type Found, isBeside, isOfferedCheaper } from './answer.ts';
import type { Bound } from './bound.ts';
import { buildGreedily } from './build-greedily.ts';
import {
  type Choice,
  type Cost,
  choicesFor,
  compareCosts,
  costOf,
  leastCostOf,
  leastOfCosts,
  mostCables,
  NO_COST,
  type Strength,
  strongestOf,
} from './choice.ts';
import { curesRun } from './holds.ts';
import { type Open, OpenChoices, type Ranked } from './open-choices.ts';
import { cablesFor, ownersFor, passing } from './reach.ts';
import { type Budget, everySet, SpotSets } from './sets.ts';
import { needsFeeds, type Site, sagsWithAll, siteOf } from './site.ts';
import { type Spot, spotsOf, thinned } from './spots.ts';

export interface SearchResult {
  /** The best of each choice that was found, the best one first. */
  readonly answers: readonly Answer[];
  /** No answer of the kind that is searched costs less than the first one; without answers: there is none. */
  readonly isProven: boolean;
  /** No feeds of the kind that is searched cost less, whatever else is fed how; undefined where nothing is known. */
  readonly floor: Cost | undefined;
  readonly trials: number;
}

export interface SearchOptions {
  /** How many choices to offer. */
  readonly wanted: number;
  readonly mostTaps: number;
  readonly budget: Budget;
  /** Without it every set is tried: what the bound is checked against. */
  readonly useBound: boolean;
  /** All but the best are tried on the plan as a whole only when someone takes one (see Answer). */
  readonly defers: boolean;
  /** Runs that may be left wanting, since they are looked at again afterwards. */
  readonly spared?: ReadonlySet<string>;
}

export const SEARCH_OPTIONS: SearchOptions = {
  wanted: 3,
  mostTaps: 12,
  budget: { looks: 20_000, trials: 100 },
  useBound: true,
  defers: false,
};

/**
 * The feeds that cost least for one run: fewest cables through limited routes, then fewest taps, then least copper or
 * money.
 *
 * Searched are all sets of places where a hand can reach; only where none of them does, also points inside strings. All
 * feeds of an answer start at one supply or fused board and are of one cable, doubled or not, each on its own or as one
 * trunk with all taps. Choices are taken up best first: by the least that they could cost with one tap, two, and so on;
 * then by what each set that the bound lets pass does cost (see Bound, Capacity). So the first that holds is the best.
 */
export function searchInjection(ctx: SuggestContext, run: Run, options: SearchOptions = SEARCH_OPTIONS): SearchResult {
  return finish(injectionSteps(ctx, run, options));
}

/** The same in steps. */
export function* injectionSteps(ctx: SuggestContext, run: Run, options = SEARCH_OPTIONS): Steps<SearchResult> {
  const budget = { ...options.budget };
  let result: SearchResult = { answers: [], isProven: true, floor: undefined, trials: 0 };
  for (const middle of [false, true]) {
    if (middle) budget.looks = Math.min(budget.looks, options.budget.looks * MIDDLE_SHARE);
    const all = spotsOf(ctx.plan, run, middle);
    const spots = thinned(all, middle);
    const search = new InjectionSearch(ctx, run, spots, { ...options, budget });
    const found = yield* search.find();
    result = {
      ...found,
      // Inside strings is only looked where no joint does.
      isProven: result.isProven && found.isProven && spots.length === all.length,
      floor: middle || spots.length < all.length ? undefined : found.floor,
      trials: result.trials + found.trials,
    };
    if (found.answers.length > 0) return result;
    const isSpent = budget.looks <= 0 || budget.trials <= 0;
    if (!middle && !isSpent) continue;
    // Each number of taps was shown to be wanting, or time ran out: more taps, some inside strings, may still do. Where it
    // ran out, points inside strings were not looked at, or not all.
    const answers = yield* search.build(thinned(spotsOf(ctx.plan, run, true), true));
    return { ...result, answers, isProven: result.isProven && !isSpent && answers.length === 0 };
  }
  return result;
}

/** Of all looks, for points inside strings: there are many, one as good as the next. */
const MIDDLE_SHARE = 0.3;

class InjectionSearch {
  private readonly ctx: SuggestContext;
  private readonly run: Run;
  private readonly spots: readonly Spot[];
  private readonly options: SearchOptions;
  /** The least that what was passed over without a proof could have cost. */
  private doubt: Cost | undefined;
  private readonly conceivable = new Map<string, readonly (readonly Spot[])[] | undefined>();
  /** Of all choices together what resists least: no feed of any is better than one of these. */
  private strongest: Strength | undefined;
  private readonly hopeless = new Map<Site, boolean>();

  constructor(ctx: SuggestContext, run: Run, spots: readonly Spot[], options: SearchOptions) {
    this.ctx = ctx;
    this.run = run;
    this.spots = spots;
    this.options = options;
  }

  *find(): Steps<SearchResult> {
    const sites = new Map<Supply, Site | undefined>();
    const open = new OpenChoices(yield* this.openChoices(sites));
    const answers: Answer[] = [];
    const { budget, wanted } = this.options;
    // All that costs less than the first that is tried was shown to be wanting by the bound.
    let floor = needsFeeds(this.ctx, this.run, [...sites.values()]) ? undefined : NO_COST;
    while (budget.looks > 0 && budget.trials > 0) {
      yield;
      const [first] = answers;
      const next = open.shift();
      if (next === undefined) break;
      if (isBeside(first, next.count, next.cost)) continue;
      // Once the best is known the others are alternatives, no second best.
      const isBest = first !== undefined && compareCosts(first.cost, next.cost) <= 0;
      if (isBest && answers.length >= wanted) break;
      if (isOfferedCheaper(answers, next.choice, next.cost)) {
        open.add(this.opened(next.choice, next.site, next.count + 1));
      } else if (this.isHopeless(next)) {
        this.passOver([next]);
      } else if (next.sets === undefined) {
        open.add(this.expand(next));
      } else {
        floor ??= next.cost;
        const answer = this.tryOut(next, first);
        if (answer === undefined) open.add(this.rest(next));
        else addByKind(answers, answer);
      }
    }
    const [first] = answers;
    const doubts = this.doubt === undefined ? [] : [this.doubt];
    const rivals = [...open.costs(), ...doubts];
    const trials = [...sites.values()].reduce((sum, site) => sum + (site?.trial.tried ?? 0), 0);
    return {
      answers: answers.slice(0, wanted),
      isProven: rivals.every((cost) => first !== undefined && compareCosts(first.cost, cost) <= 0),
      floor: leastOfCosts(floor === undefined ? rivals : [floor, ...doubts]),
      trials,
    };
  }

  /** The strongest cable from one supply after another, nearest first, tapped where the run sags most. */
  *build(spots: readonly Spot[]): Steps<Answer[]> {
    const { plan } = this.ctx;
    const answers: Answer[] = [];
    const strength = ({ cable, parallel }: Choice) => cable.conductor.area * parallel;
    const choices = ownersFor(plan, this.run)
      .map((owner) => choicesFor(plan, this.run, owner, cablesFor(plan), (route) => passing(plan, route)))
      .filter((own) => own.length > 0)
      .map((own) => own.sort((a, b) => strength(b) - strength(a)))
      .sort((a, b) => sure(a[0]).reach - sure(b[0]).reach);
    for (const own of choices.slice(0, MOST_BUILT)) {
      if (answers.length >= this.options.wanted) break;
      const strongest = sure(own[0]);
      const site = siteOf(this.ctx, this.run, strongest.supply, spots, true, this.options.spared);
      if (site === undefined || sagsWithAll(site, strongest)) continue;
      for (const choice of own.slice(0, 2)) {
        const built = yield* buildGreedily(choice, site, (found) => {
          return this.answer({ choice, ...found, isBuilt: true }, answers.length > 0);
        });
        if (built !== undefined) addByKind(answers, built);
      }
    }
    // The best of them is seen as a whole, whatever order they were built in.
    for (let [best] = answers; best !== undefined && !best.isSeen; [best] = answers) {
      if (curesRun(this.ctx, this.run, best.edits, this.options.spared)) answers[0] = { ...best, isSeen: true };
      else answers.shift();
    }
    return answers.slice(0, this.options.wanted);
  }

  private *openChoices(sites: Map<Supply, Site | undefined>): Steps<Open[]> {
    const { plan } = this.ctx;
    const cables = cablesFor(plan);
    const open: Open[] = [];
    for (const owner of ownersFor(plan, this.run)) {
      for (const choice of choicesFor(plan, this.run, owner, cables, (route) => passing(plan, route))) {
        const { supply } = choice;
        this.strongest = strongestOf(this.strongest, choice);
        if (!sites.has(supply)) {
          yield;
          sites.set(supply, siteOf(this.ctx, this.run, supply, this.spots, this.options.useBound, this.options.spared));
        }
        const site = sites.get(supply);
        if (site === undefined) continue;
        const first = this.opened(choice, site, 1);
        const isHopeless = site.bound?.wantingWithin(choice, site.spots) !== undefined;
        if (!isHopeless) open.push(...first);
        else if (!site.isStrict) this.passOver(first);
      }
    }
    return open;
  }

  /** A choice with so many taps; none where there is no room or there are not as many places. */
  private opened(choice: Choice, site: Site, count: number): Open[] {
    const { spots } = site;
    // A single tap is the same as a trunk and as a feed.
    if (choice.trunk && count < 2 && spots.length > 1) return this.opened(choice, site, 2);
    const cables = choice.trunk ? 1 : count;
    if (count > spots.length || cables > mostCables(choice)) return [];
    const open = [{ choice, site, count, cost: leastCostOf(choice, spots, count) }];
    if (count <= this.options.mostTaps) return open;
    this.passOver(open);
    return [];
  }

  /** The sets that may do; where there are none, one tap more. */
  private expand({ choice, site, count, cost }: Open): Open[] {
    const sets = this.options.useBound ? this.setsFor(choice, site, count) : everySet(site.spots, count);
    if (sets === undefined || !site.isStrict) this.passOver([{ cost }]);
    const ranked = (sets ?? []).map((spots) => ({ spots, cost: costOf(choice, spots) }));
    ranked.sort((a, b) => compareCosts(a.cost, b.cost));
    return this.ranked({ choice, site, count, cost }, ranked);
  }

  private rest(open: Open): Open[] {
    return this.ranked(open, sure(open.sets).slice(1));
  }

  private ranked({ choice, site, count }: Open, sets: readonly Ranked[]): Open[] {
    const [first] = sets;
    if (first === undefined) return this.opened(choice, site, count + 1);
    return [{ choice, site, count, sets, cost: first.cost }];
  }

  private tryOut({ choice, site, sets, cost }: Open, first: Answer | undefined): Answer | undefined {
    const { spots } = sure(sure(sets)[0]);
    this.options.budget.trials--;
    const { harmful } = site.trial;
    const outcome = site.trial.judge(choice, spots);
    if (outcome === undefined) {
      this.options.budget.trials -= (site.trial.harmful - harmful) * HARMFUL_TRIALS;
      return undefined;
    }
    const isSecond = first !== undefined && compareCosts(first.cost, cost) < 0;
    const answer = this.answer({ choice, spots, outcome, isBuilt: false }, isSecond);
    if (answer === undefined) this.options.budget.trials -= REFUSED_TRIALS;
    return answer;
  }

  /** The last word has the plan as a whole, read anew with the edits; what is no more than an alternative may wait for it. */
  private answer(found: Found, isSecond: boolean): Answer | undefined {
    const isSeen = !(isSecond && this.options.defers);
    const answer = answerOf(this.ctx.plan, this.run, found, isSeen);
    return !isSeen || curesRun(this.ctx, this.run, answer.edits, this.options.spared) ? answer : undefined;
  }

  /** Looked up once several sets of a supply have left the run sagging where the bound saw nothing amiss. */
  private isHopeless({ choice, site }: Open): boolean {
    if (site.trial.sagged < SAGGED_TRIALS) return false;
    let known = this.hopeless.get(site);
    if (known === undefined) {
      known = sagsWithAll(site, { ...choice, ...this.strongest });
      this.hopeless.set(site, known);
    }
    return known;
  }

  private passOver(open: readonly Pick<Open, 'cost'>[]): void {
    for (const { cost } of open) if (this.doubt === undefined || compareCosts(cost, this.doubt) < 0) this.doubt = cost;
  }

  /** The sets that the bound lets pass: of those that the best feeds could do with, where they are few, else of all. */
  private setsFor(choice: Choice, { bound, capacity, spots }: Site, count: number): (readonly Spot[])[] | undefined {
    const { budget } = this.options;
    const own = new SpotSets(choice, bound, capacity, budget);
    const most = bound === undefined ? undefined : this.conceivableSets(choice, { bound, capacity, spots }, count);
    return most === undefined ? own.find(spots, count) : own.among(most, count);
  }

  /**
   * The sets that the thickest cable from nearby could do with; undefined where they are many. The run is the same
   * whatever feeds it, and a feed that resists more lifts no place of it, so each choice's own sets are among them.
   */
  private conceivableSets(
    choice: Choice,
    { bound, capacity, spots }: Pick<Site, 'capacity' | 'spots'> & { readonly bound: Bound },
    count: number,
  ): readonly (readonly Spot[])[] | undefined {
    const key = [bound.mark, count, choice.trunk, ...spots.map(({ text }) => text)].join(' ');
    if (!this.conceivable.has(key)) {
      const strongest = { ...choice, ...this.strongest };
      const sets = new SpotSets(strongest, bound, capacity, this.options.budget).findSome(spots, count, MOST_SHARED);
      this.conceivable.set(key, sets);
    }
    return this.conceivable.get(key);
  }
}

/** Sets of places that are looked through once more for each choice; of more it is quicker to search anew. */
const MOST_SHARED = 256;

/** Trials that may sag before the feeds of all places together are looked at. */
const SAGGED_TRIALS = 4;

/** What a refusal for the sake of others counts for besides: all checks were looked through, and the next has that reason too. */
const HARMFUL_TRIALS = 3;

/** What a refusal by the plan as a whole counts for, in trials: it takes longer, and the next answers share its reason. */
const REFUSED_TRIALS = 9;

/** Owners of outputs that feeds are built from at most. */
const MOST_BUILT = 4;
