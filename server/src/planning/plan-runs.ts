import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import { islandsOf } from '../model/islands.ts';
import type { Board, Route, Run } from '../model/plan.ts';
import type { Steps } from '../model/steps.ts';
import type { Answer } from './answer.ts';
import { type Bench, isWanting, isWorse, wantingRuns } from './bench.ts';
import { type Candidate, chooseCandidates } from './choose.ts';
import { compareDisplayCosts, type DisplayCost, NOTHING, sumOfCosts } from './display-cost.ts';
import { injectionSteps, SEARCH_OPTIONS, type SearchResult } from './injection-search.ts';
import { passing } from './reach.ts';
import { titleOf } from './suggest-injection.ts';

export interface Step {
  readonly subject: string;
  readonly title: string;
}

/** What is done, what it costs, and what comes of it. */
export interface Proposal {
  readonly steps: readonly Step[];
  readonly cost: DisplayCost;
  readonly bench: Bench;
}

/** Feeds for all runs of a display that are wanting. */
export interface RunsPlan extends Proposal {
  /** From the supplies and boards that there are, no feeds of one cable for each run cost less. */
  readonly floor: DisplayCost;
}

/** Answers that are kept for each run, for where limits force a dearer one. */
const ANSWERS = 8;
/** Runs that all variants of a display together may be planned with: each is a search of some 0.1 s, now and then several. */
const MOST_PLANNED = 120;
/** Times that runs are looked at again which others have drawn down. */
const MOST_ROUNDS = 4;

/** How many variants of a display with so many runs that are wanting may be planned; no more than `most`. */
export function variantsFor(wanting: number, most: number): number {
  return Math.max(1, Math.min(most, Math.floor(MOST_PLANNED / Math.max(1, wanting))));
}

/**
 * Each run gets one of its own best answers, chosen together so that shared routes, boards and supplies are kept to their
 * limits (see chooseCandidates). Each is tried once more on the plan with all others before it, since what one run draws
 * another one feels.
 */
export function* planApart(start: Bench): Steps<RunsPlan> {
  const wanting = wantingRuns(start.ctx);
  const results = yield* searchEach(start.ctx, wanting, ANSWERS);
  const chosen = chooseCandidates(
    results.map(({ answers }) => answers.map(candidateOf)),
    limitsOf(start.ctx),
  );
  const placed = new Placed(start);
  for (const [index, { name }] of wanting.entries()) {
    const pick = chosen.picks[index];
    const planned = pick === undefined ? undefined : sure(results[index]).answers[pick];
    yield* placed.add(name, function* (ctx, run) {
      return placed.isEmpty ? planned : yield* again(ctx, run, planned);
    });
  }
  return { ...placed.end(), floor: floorOf(start.ctx, wanting, results) };
}

/** What no feeds of one cable for each run cost less than, from the supplies and boards that there are. */
export function* floorOfRuns({ ctx }: Bench): Steps<DisplayCost> {
  const wanting = wantingRuns(ctx);
  return floorOf(ctx, wanting, yield* searchEach(ctx, wanting, 1));
}

function* searchEach(ctx: SuggestContext, runs: readonly Run[], wanted: number): Steps<SearchResult[]> {
  const results: SearchResult[] = [];
  for (const run of runs) results.push(yield* injectionSteps(ctx, run, { ...SEARCH_OPTIONS, wanted }));
  return results;
}

/**
 * One run after the other gets its best answer even where that leaves others wanting that were looked at before: these are
 * looked at again. So runs that share a trunk get what they need with all of them on it. Undefined where that does not end
 * well, or where it cannot cost less than `best`, `added` included.
 */
export function* planTogether(start: Bench, added: DisplayCost, best: DisplayCost): Steps<Proposal | undefined> {
  const options = { ...SEARCH_OPTIONS, wanted: 1, spared: new Set(wantingRuns(start.ctx).map(({ name }) => name)) };
  const placed = new Placed(start);
  // Later others only draw more: what finds nothing now is not looked at again.
  const failed = new Set<string>();
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const before = placed.bench;
    for (const { name } of wantingRuns(before.ctx)) {
      if (failed.has(name)) continue;
      yield* placed.add(name, function* (ctx, run) {
        const [answer] = (yield* injectionSteps(ctx, run, options)).answers;
        if (answer === undefined) failed.add(name);
        return answer;
      });
      const cost = sumOfCosts([added, placed.cost, { ...NOTHING, unserved: failed.size }]);
      if (compareDisplayCosts(cost, best) >= 0) return undefined;
    }
    if (placed.bench === before || isWorse(start, placed.bench, failed)) break;
  }
  const ended = placed.end();
  return isWorse(start, ended.bench) ? undefined : ended;
}

/** A plan that takes up one answer after another. */
class Placed {
  bench: Bench;
  private readonly steps: Step[] = [];
  private readonly taken: Answer[] = [];

  constructor(start: Bench) {
    this.bench = start;
  }

  get isEmpty(): boolean {
    return this.taken.length === 0;
  }

  get cost(): DisplayCost {
    return sumOfCosts(this.taken.map(({ cost }) => costOfFeeds(cost)));
  }

  *add(name: string, find: (ctx: SuggestContext, run: Run) => Steps<Answer | undefined>): Steps<void> {
    const { ctx } = this.bench;
    const run = sure(ctx.plan.runs.get(name));
    const found = isWanting(ctx, run) ? yield* find(ctx, run) : undefined;
    if (found === undefined) return;
    this.steps.push({ subject: name, title: titleOf(ctx.plan, found) });
    this.taken.push(found);
    this.bench = this.bench.after(found.edits);
  }

  end(): Proposal {
    const { steps, bench } = this;
    return { steps, bench, cost: { ...this.cost, unserved: wantingRuns(bench.ctx).length } };
  }
}

/** The answer for a run as the plan now stands: the one that was planned for it if it still holds, else the best. */
function* again(ctx: SuggestContext, run: Run, planned: Answer | undefined): Steps<Answer | undefined> {
  const same = (answer: Answer) => planned !== undefined && keyOf(answer) === keyOf(planned);
  // As a rule the best is still the one that was planned, and quickly found.
  const [quick] = planned === undefined ? [] : yield* searchEach(ctx, [run], 1);
  const best = quick?.answers[0];
  if (best !== undefined && same(best)) return best;
  const { answers } = sure((yield* searchEach(ctx, [run], ANSWERS))[0]);
  return answers.find(same) ?? answers[0];
}

function keyOf({ choice, spots }: Answer): string {
  const { owner, cable, parallel, trunk } = choice;
  return [owner.name, cable.name, parallel, trunk, ...spots.map(({ text }) => text)].join(' ');
}

/**
 * The least costs of all runs, added up. Where no other run that is wanting is joined to a run by wire, its best answer is
 * its own affair, and proven; elsewhere others may change what it needs, and only what the bound has shown counts.
 */
function floorOf({ plan }: SuggestContext, wanting: readonly Run[], results: readonly SearchResult[]): DisplayCost {
  const islands = islandsOf(plan);
  const isAlone = (run: Run) =>
    islands.every(({ runs }) => !runs.includes(run) || runs.filter((other) => wanting.includes(other)).length < 2);
  return sumOfCosts(
    wanting.map((run, index) => {
      const {
        answers: [best],
        isProven,
        floor,
      } = sure(results[index]);
      const cost = isProven && isAlone(run) ? best?.cost : floor;
      return cost === undefined ? NOTHING : costOfFeeds(cost);
    }),
  );
}

function costOfFeeds({ limited, taps, material }: Answer['cost']): DisplayCost {
  return { ...NOTHING, limitedCables: limited, taps, material };
}

function candidateOf({ choice, spots, cost, drawn }: Answer): Candidate {
  const uses = new Map<string, number>([[`supply ${choice.supply.name}`, Math.max(0, drawn)]]);
  if (choice.owner.kind === 'board') uses.set(boardKey(choice.owner), Math.max(0, drawn));
  const cables = choice.parallel * (choice.trunk ? 1 : spots.length);
  for (const route of choice.way?.routes ?? []) if (route.most !== undefined) uses.set(routeKey(route), cables);
  return { cost: [cost.limited, cost.taps, cost.material], uses };
}

/** What is left of each limited route, in cables, and of each supply and the fuse of each board, in A. */
function limitsOf({ plan, account }: SuggestContext): Map<string, number> {
  const limits = new Map<string, number>();
  for (const route of plan.routes)
    if (route.most !== undefined) limits.set(routeKey(route), route.most - passing(plan, route));
  for (const [supply, load] of account.supplies) {
    const rated = supply.part?.rated;
    if (rated !== undefined) limits.set(`supply ${supply.name}`, rated * plan.design.supplyShare.value - load.amps);
  }
  for (const board of plan.boards.values()) {
    const { fuse } = board.from;
    if (fuse === undefined) continue;
    limits.set(boardKey(board), fuse.amps * plan.design.fuseShare.value - (account.outputs.get(board.from) ?? 0));
  }
  return limits;
}

const routeKey = (route: Route) => `route ${route.from.name} to ${route.to.name}`;
const boardKey = (board: Board) => `board ${board.name}`;
