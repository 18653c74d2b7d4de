import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import { NOTICEABLE } from '../checks/worsens.ts';
import { deratedOf } from '../model/derating.ts';
import type { Plan, Run, Supply } from '../model/plan.ts';
import { isWanting } from './bench.ts';
import { leastAmps, leastVolts } from './least-draw.ts';
import { suppliesFor, takes } from './reach.ts';
import { allTypesFor } from './supply-types.ts';

/**
 * How many supplies have to be added at least so that every run of a plan holds its voltage: all runs of one voltage
 * draw a least current together, and what the supplies that may feed them cannot give has to come from new ones, of which
 * each gives no more than the largest that the plan describes. Where no supply may feed a run, one is needed at least.
 *
 * Every pixel of a run that holds sees its least voltage, so it draws what it draws there, at least; currents that go out
 * on V+ reach the pixels, whatever the wire loses of the voltage. Runs that sag and that nothing is said about need not
 * hold. A supply gives its share of its rating, or what it gives now where that is more: that is no new finding.
 */
export function fewestSupplies(ctx: SuggestContext): number {
  const groups = groupsOf(ctx);
  const counts = groups.map((group) => group.fewest);
  // A supply that may feed runs of two voltages would count twice.
  const isShared = groups.some((a) =>
    groups.some((b) => a !== b && a.runs.some((run) => mayShare(ctx.plan, run, b.runs))),
  );
  return isShared ? Math.max(0, ...counts) : counts.reduce((sum, count) => sum + count, 0);
}

interface Group {
  readonly runs: readonly Run[];
  readonly fewest: number;
}

/** The runs of each nominal voltage, where one of them is wanting. */
function groupsOf(ctx: SuggestContext): Group[] {
  const groups = new Map<number, Run[]>();
  for (const run of ctx.plan.runs.values()) {
    const volts = run.pieces.find((piece) => piece.kind === 'string')?.part.volts;
    if (volts !== undefined) groups.set(volts, [...(groups.get(volts) ?? []), run]);
  }
  return [...groups.values()]
    .filter((runs) => runs.some((run) => isWanting(ctx, run)))
    .map((runs) => ({ runs, fewest: fewestFor(ctx, runs) }));
}

function fewestFor(ctx: SuggestContext, runs: readonly Run[]): number {
  const { plan } = ctx;
  const supplies = new Set(runs.flatMap((run) => suppliesFor(plan, run)));
  const given = [...supplies].reduce((sum, supply) => sum + mostGiven(ctx, supply), 0);
  const offered = runs.flatMap((run) => allTypesFor(plan, run));
  const largest = Math.max(0, ...offered.map(({ part }) => (part.rated ?? 0) * plan.design.supplyShare.value));
  const volts = Math.max(...[...supplies].map((supply) => supply.volts?.value ?? 0), ...offered.map(({ set }) => set));
  const lacking = leastDrawn(ctx, runs, volts) - given;
  if (lacking <= 0 || largest <= 0)
    return runs.some((run) => isWanting(ctx, run) && suppliesFor(plan, run).length === 0) ? 1 : 0;
  return Math.ceil(lacking / largest - 1e-9);
}

/** A that a supply may give without being worse off than it is. */
function mostGiven({ plan, account }: SuggestContext, supply: Supply): number {
  const rated = deratedOf(plan.design, supply)?.amps ?? supply.part?.rated ?? Number.POSITIVE_INFINITY;
  const limit = rated * plan.design.supplyShare.value;
  return Math.max(limit, account.supplies.get(supply)?.amps ?? 0) + NOTICEABLE * limit;
}

/** A that some runs draw at least at nominal conditions when each that has to hold its voltage does. */
function leastDrawn(ctx: SuggestContext, runs: readonly Run[], volts: number): number {
  let amps = 0;
  for (const { circuit, outcome } of ctx.account.islands) {
    for (const [index, { run, piece }] of circuit.stretches.entries()) {
      const stretch = sure(circuit.circuit.stretches[index]);
      const least = leastVolts(piece);
      if (!runs.includes(run)) continue;
      const seen = outcome.status === 'solved' ? sure(outcome.stretches[index]).leastVolts : 0;
      if (seen >= least || isWanting(ctx, run))
        amps += stretch.count * leastAmps(stretch.model, stretch.scale, least, volts);
    }
  }
  return amps;
}

function mayShare(plan: Plan, run: Run, others: readonly Run[]): boolean {
  const known = new Set(suppliesFor(plan, run));
  return others.some(
    (other) =>
      suppliesFor(plan, other).some((supply) => known.has(supply)) ||
      allTypesFor(plan, other).some(({ set }) => takes(run, set)),
  );
}
