import type { SuggestContext } from '../checks/check.ts';
import { cablesOn } from '../checks/route-crowded.ts';
import { worsens } from '../checks/worsens.ts';
import type { Edit } from '../model/finding.ts';
import type { Run, Supply } from '../model/plan.ts';
import { Bound } from './bound.ts';
import { buildGreedily } from './build-greedily.ts';
import { Capacity } from './capacity.ts';
import { type Choice, type Cost, cableLengths, choicesFor, compareCosts, costOf, spotsOfSupply } from './choice.ts';
import type { PlannedOutput } from './outputs.ts';
import { cablesFor, suppliesFor } from './reach.ts';
import { type Budget, SpotSets } from './sets.ts';
import { type Spot, spotsOf } from './spots.ts';
import { CURED_BY_INJECTION, type Outcome, Trial } from './trial.ts';
import { editsOf } from './write-answer.ts';

/** Feeds for one run that leave it sound and nothing else worse. */
export interface Answer {
  readonly choice: Choice;
  readonly spots: readonly Spot[];
  readonly outputs: readonly PlannedOutput[];
  readonly cost: Cost;
  /** m of cable. */
  readonly metres: number;
  /** Least voltage of the run afterwards, nominal, V. */
  readonly least: number;
  /** A that the supply gives more than before. */
  readonly drawn: number;
  readonly edits: readonly Edit[];
  /** Built tap by tap where the search came to no end: there may be one that costs less. */
  readonly isBuilt: boolean;
}

export interface SearchResult {
  /** The best of each choice that was found, the best one first. */
  readonly answers: readonly Answer[];
  /** No answer of the kind that is searched costs less than the first one. */
  readonly isProven: boolean;
  readonly trials: number;
}

export interface SearchOptions {
  /** How many choices to offer. */
  readonly wanted: number;
  readonly mostTaps: number;
  readonly budget: Budget;
  /** Without it every set is tried: what the bound is checked against. */
  readonly useBound: boolean;
}

export const SEARCH_OPTIONS: SearchOptions = {
  wanted: 3,
  mostTaps: 12,
  budget: { looks: 20_000, trials: 600 },
  useBound: true,
};

/**
 * The feeds that cost least for one run: fewest cables through limited routes, then fewest taps, then least copper.
 *
 * Searched are all sets of places where a hand can reach; only where none of them does, also points inside strings. All
 * feeds of an answer start at one supply and are of one cable, doubled or not, each on its own or as one trunk with all
 * taps. Choices are taken up best first: by the least that they could cost with one tap, two, and so on; what a bound
 * shows to be wanting is passed over (see Bound, Capacity). So the first answer that no open choice can beat is the best.
 */
export function searchInjection(ctx: SuggestContext, run: Run, options: SearchOptions = SEARCH_OPTIONS): SearchResult {
  const budget = { ...options.budget };
  let result: SearchResult = { answers: [], isProven: false, trials: 0 };
  for (const middle of [false, true]) {
    const search = new InjectionSearch(ctx, run, spotsOf(ctx.plan, run, middle), { ...options, budget });
    const found = search.find();
    result = { ...found, trials: result.trials + found.trials };
    if (found.answers.length > 0) return result;
    const isSpent = budget.looks <= 0 || budget.trials <= 0;
    // Each number of taps was shown to be wanting, or time ran out: more taps, some inside strings, may still do.
    if (middle || isSpent) return { ...result, answers: search.build(spotsOf(ctx.plan, run, true)) };
  }
  return result;
}

interface Open {
  readonly choice: Choice;
  readonly site: Site;
  readonly count: number;
  /** The least that an answer with so many taps can cost. */
  readonly cost: Cost;
}

/** All that is known of feeding the run from one supply. */
interface Site {
  readonly spots: readonly Spot[];
  readonly trial: Trial;
  readonly bound: Bound | undefined;
  readonly capacity: Capacity;
  /** The bound holds for what is really built (see Bound). */
  readonly isStrict: boolean;
}

class InjectionSearch {
  private readonly ctx: SuggestContext;
  private readonly run: Run;
  private readonly spots: readonly Spot[];
  private readonly options: SearchOptions;
  private readonly before: ReturnType<SuggestContext['preview']>['findings'];
  private isProven = true;
  private readonly conceivable = new Map<string, boolean>();

  constructor(ctx: SuggestContext, run: Run, spots: readonly Spot[], options: SearchOptions) {
    this.ctx = ctx;
    this.run = run;
    this.spots = spots;
    this.options = options;
    this.before = ctx.preview([]).findings;
  }

  find(): SearchResult {
    const sites = new Map<Supply, Site>();
    let open = this.openChoices(sites);
    const answers: Answer[] = [];
    const { budget, wanted, mostTaps } = this.options;
    for (;;) {
      const [first] = answers;
      open = open.filter(({ count }) => count <= mostTaps && (first === undefined || count <= first.cost.taps + 1));
      open.sort((a, b) => compareCosts(a.cost, b.cost));
      const next = open.shift();
      if (next === undefined) break;
      const isBest = first !== undefined && compareCosts(first.cost, next.cost) <= 0;
      const last = answers[wanted - 1];
      if (last !== undefined && compareCosts(last.cost, next.cost) <= 0) break;
      if (isOfferedCheaper(answers, next)) {
        const again = this.opened(next.choice, next.site, next.count + 1);
        if (again !== undefined) open.push(again);
        continue;
      }
      if (isBest && answers.length > 0 && budget.trials < this.options.budget.trials / 2) break;
      const answer = this.tryOut(next, isBest);
      if (answer === undefined) {
        const again = this.opened(next.choice, next.site, next.count + 1);
        if (again !== undefined) open.push(again);
      } else {
        addByKind(answers, answer);
      }
      if (budget.looks <= 0 || budget.trials <= 0) break;
    }
    const trials = [...sites.values()].reduce((sum, { trial }) => sum + trial.tried, 0);
    return { answers: answers.slice(0, wanted), isProven: this.isProven && answers.length > 0, trials };
  }

  /** The strongest cable from one supply after another, nearest first, tapped where the run sags most. */
  build(spots: readonly Spot[]): Answer[] {
    const { plan } = this.ctx;
    const answers: Answer[] = [];
    const cables = cablesFor(plan);
    const passing = (route: Parameters<typeof cablesOn>[1]) =>
      cablesOn(plan, route).reduce((sum, { count }) => sum + count, 0);
    const strength = ({ cable, parallel }: Choice) => cable.conductor.area * parallel;
    const choices = suppliesFor(plan, this.run)
      .map((supply) => choicesFor(plan, this.run, supply, cables, passing).sort((a, b) => strength(b) - strength(a)))
      .sort((a, b) => (a[0]?.reach ?? 0) - (b[0]?.reach ?? 0));
    for (const [strongest, other] of choices.slice(0, MOST_BUILT)) {
      if (answers.length >= this.options.wanted) break;
      if (strongest === undefined) continue;
      const trial = new Trial(plan, this.run, strongest.supply, spots);
      const places = spotsOfSupply(trial.base, strongest.supply, spots);
      for (const choice of [strongest, other]) {
        if (choice === undefined) continue;
        const built = buildGreedily(choice, trial, places, ({ spots, outcome }) =>
          this.holds(editsOf(plan, this.run, choice, spots, outcome.outputs)),
        );
        if (built !== undefined) addByKind(answers, this.answerOf(choice, built.spots, built.outcome, true));
      }
    }
    return answers.slice(0, this.options.wanted);
  }

  private answerOf(choice: Choice, spots: readonly Spot[], outcome: Outcome, isBuilt: boolean): Answer {
    const edits = editsOf(this.ctx.plan, this.run, choice, spots, outcome.outputs);
    const metres = cableLengths(choice, spots).reduce((sum, length) => sum + length, 0);
    return { choice, spots, cost: costOf(choice, spots), metres, edits, isBuilt, ...outcome };
  }

  private openChoices(sites: Map<Supply, Site>): Open[] {
    const { plan } = this.ctx;
    const cables = cablesFor(plan);
    const passing = (route: Parameters<typeof cablesOn>[1]) =>
      cablesOn(plan, route).reduce((sum, { count }) => sum + count, 0);
    return suppliesFor(plan, this.run).flatMap((supply) => {
      const site = this.siteOf(supply);
      if (site === undefined) return [];
      sites.set(supply, site);
      return choicesFor(plan, this.run, supply, cables, passing).flatMap((choice) => {
        if (site.bound?.wantingWithin(choice, site.spots) !== undefined) return [];
        return this.opened(choice, site, 1) ?? [];
      });
    });
  }

  private siteOf(supply: Supply): Site | undefined {
    const { plan } = this.ctx;
    const trial = new Trial(plan, this.run, supply, this.spots);
    const spots = spotsOfSupply(trial.base, supply, this.spots);
    if (spots.length === 0 || supply.volts === undefined) return undefined;
    const { base, conditions } = trial.hardest;
    const isStrict = base.sources.length <= 1;
    const set = Math.max(...base.sources.map((source) => source.volts?.value ?? 0), supply.volts.value);
    const bound = this.options.useBound
      ? new Bound(base, this.run, spots, conditions, set, isStrict ? 0 : GROUND_SLACK)
      : undefined;
    const capacity = new Capacity(plan, this.run, base, set * conditions.supplies);
    return { spots, trial, bound, capacity, isStrict };
  }

  /** A choice with so many taps; undefined where there is no room or there are not as many places. */
  private opened(choice: Choice, site: Site, count: number): Open | undefined {
    const { spots } = site;
    if (count > spots.length || (choice.trunk && count < 2 && spots.length > 1)) {
      // A single tap is the same as a trunk and as a feed.
      return count === 1 ? this.opened(choice, site, 2) : undefined;
    }
    if (choice.limited > 0 && choice.parallel * (choice.trunk ? 1 : count) > choice.room) return undefined;
    return { choice, site, count, cost: costOf(choice, spots.slice(0, count)) };
  }

  private tryOut({ choice, site, count }: Open, isBest: boolean): Answer | undefined {
    const { budget } = this.options;
    if (!this.isConceivable(choice, site, count)) return undefined;
    const sets = this.options.useBound
      ? new SpotSets(choice, site.bound, site.capacity, budget).find(site.spots, count)
      : everySet(site.spots, count);
    if (sets === undefined || !site.isStrict) this.isProven &&= isBest;
    const ranked = (sets ?? []).map((spots) => ({ spots, cost: costOf(choice, spots) }));
    ranked.sort((a, b) => compareCosts(a.cost, b.cost));
    for (const { spots } of ranked) {
      if (--budget.trials < 0) {
        this.isProven &&= isBest;
        return undefined;
      }
      const outcome = site.trial.judge(choice, spots);
      if (outcome === undefined) continue;
      const answer = this.answerOf(choice, spots, outcome, false);
      if (this.holds(answer.edits)) return answer;
    }
    return undefined;
  }

  /** Asked once for each number of taps and set voltage: the run is the same whatever feeds it. */
  private isConceivable(choice: Choice, { bound, capacity, spots }: Site, count: number): boolean {
    if (bound === undefined) return true;
    const key = `${bound.volts} ${bound.slack} ${count} ${spots.map(({ text }) => text).join(' ')}`;
    let known = this.conceivable.get(key);
    if (known === undefined) {
      known = SpotSets.isConceivable(choice, bound, capacity, spots, count, this.options.budget);
      this.conceivable.set(key, known);
    }
    return known;
  }

  /** The last word has the plan as a whole, read anew with the edits. */
  private holds(edits: readonly Edit[]): boolean {
    const { findings } = this.ctx.preview(edits);
    return (
      !findings.some(({ code, subject }) => subject === this.run.name && CURED_BY_INJECTION.has(code)) &&
      !worsens(this.before, findings)
    );
  }
}

/** Supplies that feeds are built from at most. */
const MOST_BUILT = 4;

/** Answers of one kind differ in the thickness of the cable only: the cheapest stands for all. */
function kindOf(choice: Choice, taps: number): string {
  return `${choice.supply.name} ${choice.trunk && taps > 1} ${taps}`;
}

function isOfferedCheaper(answers: readonly Answer[], { choice, count, cost }: Open): boolean {
  const kind = kindOf(choice, count);
  return answers.some(
    (answer) => kindOf(answer.choice, answer.cost.taps) === kind && compareCosts(answer.cost, cost) <= 0,
  );
}

function addByKind(answers: Answer[], answer: Answer): void {
  const kind = kindOf(answer.choice, answer.cost.taps);
  const order = (a: Answer, b: Answer) => compareCosts(a.cost, b.cost) || b.least - a.least;
  const index = answers.findIndex((other) => kindOf(other.choice, other.cost.taps) === kind);
  const other = answers[index];
  if (other === undefined) answers.push(answer);
  else if (order(answer, other) < 0) answers[index] = answer;
  answers.sort(order);
}

/** V by which the grounds of several supplies may differ in favour of a run. */
const GROUND_SLACK = 0.2;

function everySet(spots: readonly Spot[], count: number): Spot[][] {
  if (count === 0) return [[]];
  return spots.flatMap((spot, index) => everySet(spots.slice(index + 1), count - 1).map((rest) => [spot, ...rest]));
}
