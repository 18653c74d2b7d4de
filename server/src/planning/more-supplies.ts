import { sure } from '#grammar/sure.ts';
import type { Edit } from '../model/finding.ts';
import type { Place, Plan, Run } from '../model/plan.ts';
import { shortestWay } from '../model/shortest-way.ts';
import type { Steps } from '../model/steps.ts';
import { type Bench, isWorse, wantingRuns } from './bench.ts';
import { allCutJoints, cutAbove } from './cut-joints.ts';
import { compareDisplayCosts, NOTHING, sumOfCosts } from './display-cost.ts';
import { type Proposal, planTogether, type Step, variantsFor } from './plan-runs.ts';
import { type Source, withSources } from './sources.ts';
import { typesFor } from './supply-types.ts';
import { supplyEdits } from './write-source.ts';

/** Sources that are tried for one run, where the display is small, and those that one proposal has. */
const MOST_TRIED = 16;
const MOST_SOURCES = 6;
/** Cuts of V+ that are tried in one run. */
const MOST_CUTS = 4;

/** A source with what is said of it. */
interface Remedy extends Source {
  readonly title: string;
}

/**
 * For runs that stay wanting: V+ cut, so that several of the supplies share a run, or another supply, or both. One is put
 * beside another as long as fewer runs are wanting then, each the one that costs least; all runs are planned anew with them.
 */
export function* withMoreSupplies(start: Bench, found: Proposal): Steps<Proposal> {
  let best = found;
  let sources: readonly Remedy[] = [];
  let left = variantsFor(wantingRuns(start.ctx).length, MOST_TRIED * MOST_SOURCES);
  while (best.cost.unserved > 0 && sources.length < MOST_SOURCES) {
    const [from, put] = [best, sources];
    const { name } = sure(wantingRuns(from.bench.ctx)[0]);
    for (const remedy of remediesFor(start.ctx.plan, name).slice(0, MOST_TRIED)) {
      if (left-- <= 0) return best;
      const planned = yield* planWith(start, [...put, remedy], best);
      if (planned === undefined || compareDisplayCosts(planned.cost, best.cost) >= 0) continue;
      best = planned;
      sources = [...put, remedy];
    }
    if (best === from || best.cost.unserved >= from.cost.unserved) break;
  }
  return best;
}

function* planWith(start: Bench, sources: readonly Remedy[], best: Proposal): Steps<Proposal | undefined> {
  const put = withSources(start, sources);
  if (put === undefined) return undefined;
  const added = sumOfCosts(sources.map(({ cost }) => cost));
  const planned = yield* planTogether(put.bench, added, best.cost);
  if (planned === undefined || isWorse(start, planned.bench)) return undefined;
  const steps = sources.map(({ title }, index): Step => ({ subject: sure(put.names[index]), title }));
  return { ...planned, cost: sumOfCosts([added, planned.cost]), steps: [...steps, ...planned.steps] };
}

/**
 * Supplies of the types that the plan uses, else of those that it has a part for, at the place of a run and at all places
 * that routes lead to from there, the nearest first; each also with V+ cut before some string of the run, as where another
 * supply feeds the rest of it.
 */
function remediesFor(plan: Plan, name: string): Remedy[] {
  const run = sure(plan.runs.get(name));
  const all = allCutJoints(run);
  const cuts = all.filter((_, index) => index % Math.ceil(all.length / MOST_CUTS) === 0).map(({ text }) => text);
  const remedies = cuts.slice(1).map(
    (text): Remedy => ({
      title: `Cut V+ before ${text}, so that two supplies share the run`,
      place: run.place,
      cost: NOTHING,
      write: (then) => ({ name, edits: cutIn(sure(then.runs.get(name)), text) }),
    }),
  );
  for (const place of placesNear(plan, run))
    for (const { part, set } of typesFor(plan, run))
      for (const cut of [undefined, ...cuts]) {
        const where = place === undefined ? '' : ` at ${place.name}`;
        const apart = cut === undefined ? '' : `, V+ of ${name} cut before ${cut}`;
        remedies.push({
          title: `Another supply${where}, ${part.name}${apart}: what there is does not do. A proposal: it needs mains${where === '' ? ' there' : where}`,
          place,
          cost: { ...NOTHING, supplies: 1 },
          write: (then) => {
            const now = sure(then.runs.get(name));
            return supplyEdits(then, now, { part, place, set }, cut === undefined ? [] : cutIn(now, cut));
          },
        });
      }
  return remedies;
}

/** A cut of V+ before a line of a run as it then stands: other sources may have changed its text. */
function cutIn(run: Run, text: string): readonly Edit[] {
  return [cutAbove(sure(allCutJoints(run).find((each) => each.text === text)))];
}

/** Nearest first; only the run itself where it has no place. */
function placesNear(plan: Plan, { place }: Run): (Place | undefined)[] {
  if (place === undefined) return [undefined];
  const ways = [...plan.places.values()].flatMap((other) => {
    const way = shortestWay(plan.routes, other, place);
    return way === undefined ? [] : [{ other, length: way.length }];
  });
  return ways.sort((a, b) => a.length - b.length).map(({ other }) => other);
}
