import type { SuggestContext } from '../checks/check.ts';
import type { Edit } from '../model/finding.ts';
import { unitOfRun } from '../model/fixtures.ts';
import type { Route, Run } from '../model/plan.ts';
import type { Answer } from './answer.ts';
import { currencyOf } from './choice.ts';
import { type Candidate, chooseCandidates } from './choose.ts';
import { SEARCH_OPTIONS, searchInjection } from './injection-search.ts';
import { cablesFor, passing } from './reach.ts';
import { whyNoInjection } from './reasons.ts';
import { suggestCut } from './suggest-cut.ts';
import { titleOf } from './suggest-injection.ts';
import { CURED_BY_INJECTION } from './trial.ts';

/** A plan that can be changed step by step. */
export interface Bench {
  readonly ctx: SuggestContext;
  readonly after: (edits: readonly Edit[]) => Bench;
}

export interface DisplayPlan {
  readonly steps: readonly { readonly subject: string; readonly title: string }[];
  /** Runs that stay wanting, and why. */
  readonly open: readonly { readonly run: string; readonly reason: string }[];
  readonly cost: DisplayCost;
  /** No choice among the answers that were found for each run costs less. */
  readonly bound: DisplayCost;
  /** The currency that the material is counted in; undefined where it is copper. */
  readonly currency: string | undefined;
  /** The answers of every run are the best of their kind, none was left out for want of time. */
  readonly isExhaustive: boolean;
  readonly bench: Bench;
}

/** What is added. */
export interface DisplayCost {
  readonly unserved: number;
  readonly limitedCables: number;
  readonly taps: number;
  /** m3 of copper in one rail, or money (see Cost). */
  readonly material: number;
}

/** Answers that are kept for each run, for where limits force a dearer one. */
const ANSWERS = 8;
const MOST_CUTS = 12;

/**
 * Plans the injection of a whole display: V+ is cut where supplies meet; then each run that is wanting gets one of its own
 * best answers, chosen together so that shared routes and supplies are kept to their limits (see chooseCandidates). Each is
 * tried once more on the plan with all others before it, since what one run draws another one feels.
 */
export function planDisplay(start: Bench): DisplayPlan {
  const steps: { subject: string; title: string }[] = [];
  let bench = cutApart(start, steps);
  const wanting = wantingRuns(bench.ctx);
  const results = wanting.map((run) => searchInjection(bench.ctx, run, { ...SEARCH_OPTIONS, wanted: ANSWERS }));
  let isExhaustive = results.every(({ answers, isProven }) => isProven || answers.length === 0);
  const groups = results.map(({ answers }) => answers.map(candidateOf));
  const chosen = chooseCandidates(groups, limitsOf(bench.ctx));
  const taken: Answer[] = [];
  for (const [index, { name }] of wanting.entries()) {
    const pick = chosen.picks[index];
    const planned = pick === undefined ? undefined : results[index]?.answers[pick];
    const run = bench.ctx.plan.runs.get(name);
    if (run === undefined || !isWanting(bench.ctx, run)) continue;
    const found = taken.length === 0 ? planned : again(bench.ctx, run, planned);
    if (found === undefined) continue;
    if (planned === undefined || found.cost.taps !== planned.cost.taps) isExhaustive = false;
    steps.push({ subject: name, title: titleOf(bench.ctx.plan, found) });
    taken.push(found);
    bench = bench.after(found.edits);
  }
  const left = wantingRuns(bench.ctx);
  return {
    steps,
    open: left.map((run) => ({ run: run.name, reason: whyNoInjection(bench.ctx, run) })),
    cost: {
      unserved: left.length,
      limitedCables: sum(taken, ({ cost }) => cost.limited),
      taps: sum(taken, ({ cost }) => cost.taps),
      material: sum(taken, ({ cost }) => cost.material),
    },
    bound: costOfList(chosen.bound),
    currency: currencyOf(cablesFor(bench.ctx.plan)),
    isExhaustive,
    bench,
  };
}

/** The answer for a run as the plan now stands: the one that was planned for it if it still holds, else the best. */
function again(ctx: SuggestContext, run: Run, planned: Answer | undefined): Answer | undefined {
  const { answers } = searchInjection(ctx, run, { ...SEARCH_OPTIONS, wanted: ANSWERS });
  const same = (answer: Answer) => planned !== undefined && keyOf(answer) === keyOf(planned);
  return answers.find(same) ?? answers[0];
}

function keyOf({ choice, spots }: Answer): string {
  const { owner, cable, parallel, trunk } = choice;
  return [owner.name, cable.name, parallel, trunk, ...spots.map(({ text }) => text)].join(' ');
}

function cutApart(start: Bench, steps: { subject: string; title: string }[]): Bench {
  let bench = start;
  for (let cuts = 0; cuts < MOST_CUTS; cuts++) {
    const { ctx } = bench;
    const found = ctx.preview([]).findings.find(({ code }) => code === 'supplies-meet');
    const fix = found === undefined ? undefined : suggestCut(ctx, found)[0];
    if (found === undefined || fix === undefined) break;
    steps.push({ subject: found.subject ?? '', title: fix.title });
    bench = bench.after(fix.edits);
  }
  return bench;
}

export function wantingRuns(ctx: SuggestContext): Run[] {
  return [...ctx.plan.runs.values()].filter((run) => unitOfRun(run) === 'pixel' && isWanting(ctx, run));
}

function isWanting(ctx: SuggestContext, run: Run): boolean {
  return ctx.preview([]).findings.some(({ code, subject }) => subject === run.name && CURED_BY_INJECTION.has(code));
}

function candidateOf({ choice, spots, cost, drawn }: Answer): Candidate {
  const uses = new Map<string, number>([[`supply ${choice.supply.name}`, Math.max(0, drawn)]]);
  const cables = choice.parallel * (choice.trunk ? 1 : spots.length);
  for (const route of choice.way?.routes ?? []) if (route.most !== undefined) uses.set(routeKey(route), cables);
  return { cost: [cost.limited, cost.taps, cost.material], uses };
}

/** What is left of each limited route, in cables, and of each supply, in A. */
function limitsOf({ plan, account }: SuggestContext): Map<string, number> {
  const limits = new Map<string, number>();
  for (const route of plan.routes)
    if (route.most !== undefined) limits.set(routeKey(route), route.most - passing(plan, route));
  for (const [supply, load] of account.supplies) {
    const rated = supply.part?.rated;
    if (rated !== undefined) limits.set(`supply ${supply.name}`, rated * plan.design.supplyShare.value - load.amps);
  }
  return limits;
}

const routeKey = (route: Route) => `route ${route.from.name} to ${route.to.name}`;

function costOfList([unserved = 0, limitedCables = 0, taps = 0, material = 0]: readonly number[]): DisplayCost {
  return { unserved, limitedCables, taps, material };
}

function sum<T>(items: readonly T[], of: (item: T) => number): number {
  return items.reduce((total, item) => total + of(item), 0);
}
