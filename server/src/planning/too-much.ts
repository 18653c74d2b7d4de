import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import { NOTICEABLE } from '../checks/worsens.ts';
import { mainsWatts, suppliesOn, supplyMainsAmps } from '../model/circuit-load.ts';
import { deratedOf } from '../model/derating.ts';
import type { Run, Supply } from '../model/plan.ts';
import type { IslandCircuit } from '../model/to-circuit.ts';
import { Zones } from '../model/zones.ts';
import { GROUND_SLACK } from './ground-slack.ts';
import { leastAmps, leastVolts } from './least-draw.ts';
import { foreignStretches } from './run-network.ts';
import { CURED_BY_INJECTION, type Trial } from './trial.ts';

/**
 * Whether a run, once it holds its voltage, takes more from a supply or from its mains circuit than these should give and
 * give now: that would be a new finding, or a worse one, wherever the feeds start and whatever they are made of.
 *
 * It holds for a supply whose V+ meets no other: what lies on its V+ is fed by it alone. Each pixel of the run then draws
 * what it does at its least voltage, at least. So does each pixel of another run that nothing is amiss with, since an
 * answer may not make it sag; of runs that sag already nothing is counted. The supply itself then has more volts than any
 * of these pixels, and a controller at one of its own outputs hardly less: a fuse that loses a tenth of them carries many
 * times its rating, which is a finding too.
 */
export function asksTooMuch(ctx: SuggestContext, run: Run, supply: Supply, trial: Trial): boolean {
  return asksTooMuchOfSupply(ctx, run, supply, trial) || asksTooMuchOfCircuit(ctx, run, supply, trial);
}

function asksTooMuchOfSupply({ plan }: SuggestContext, run: Run, supply: Supply, trial: Trial): boolean {
  const rated = deratedOf(plan.design, supply)?.amps ?? Number.POSITIVE_INFINITY;
  const limit = rated * plan.design.supplyShare.value;
  const { base, conditions } = trial.hardest;
  const taken = new LeastTaken(base, run, supply, trial);
  const isTooMuch = (amps: number, given: number) => amps > Math.max(limit, given) + NOTICEABLE * limit;
  // What it gives now, and which runs are well, is only asked for where that matters: it has to be solved.
  if (!isTooMuch(taken.of(supply, conditions.supplies, () => true).amps, 0)) return false;
  return isTooMuch(taken.of(supply, conditions.supplies).amps, trial.before.mostGiven);
}

/** Supplies that are not joined to the run give what they gave; each takes from the mains what it gives at least. */
function asksTooMuchOfCircuit(ctx: SuggestContext, run: Run, supply: Supply, trial: Trial): boolean {
  const { circuit } = supply;
  if (circuit?.amps === undefined || circuit.volts === undefined) return false;
  const taken = new LeastTaken(trial.base, run, supply, trial);
  let load = 0;
  for (const other of suppliesOn(ctx.plan, circuit)) {
    if (!trial.base.supplies.has(other)) load += supplyMainsAmps(ctx.account, other);
    else load += mainsWatts(other, taken.of(other, 1).watts) / (other.part?.powerFactor.value ?? 1) / circuit.volts;
  }
  const before = ctx
    .preview([])
    .findings.find(({ code, subject }) => code === 'circuit-overloaded' && subject === circuit.name);
  return load / (circuit.amps * circuit.continuous.value) > 1 + (before?.excess ?? 0) + NOTICEABLE;
}

const MOST_LOST_IN_FUSE = 0.1;

/** What supplies of a circuit give at least once a run that one of them feeds holds its voltage. */
class LeastTaken {
  private readonly base: IslandCircuit;
  private readonly run: Run;
  private readonly feeding: Supply;
  private readonly trial: Trial;
  private readonly zones: Zones;
  private readonly foreign: ReadonlySet<number>;
  private readonly sound = new Map<Run, boolean>();

  constructor(base: IslandCircuit, run: Run, feeding: Supply, trial: Trial) {
    this.base = base;
    this.run = run;
    this.feeding = feeding;
    this.trial = trial;
    this.zones = Zones.in(base);
    this.foreign = foreignStretches(base, run, feeding);
  }

  /** With its set voltage times a factor; nothing where its V+ meets another one's. */
  of(supply: Supply, factor: number, isSound = (run: Run) => this.isSound(run)): { amps: number; watts: number } {
    let [amps, watts, highest] = [0, 0, 0];
    const zone = this.zones.of(sure(this.base.supplies.get(supply)).positive);
    const meets = this.base.circuit.sources.filter(({ positive }) => this.zones.of(positive) === zone).length > 1;
    if (meets) return { amps, watts };
    const volts = (supply.volts?.value ?? 0) * factor + GROUND_SLACK;
    for (const [index, role] of this.base.stretches.entries()) {
      const stretch = sure(this.base.circuit.stretches[index]);
      const least = leastVolts(role.piece);
      const isOwn = role.run === this.run && supply === this.feeding && !this.foreign.has(index);
      const isOther = role.run !== this.run && this.zones.of(stretch.positiveStart) === zone;
      if (!isOwn && !(isOther && isSound(role.run))) continue;
      const each = stretch.count * leastAmps(stretch.model, stretch.scale, least, volts);
      amps += each;
      watts += each * least;
      highest = Math.max(highest, least);
    }
    for (const [index, { from }] of this.base.loads.entries()) {
      const load = sure(this.base.circuit.loads[index]);
      if (from?.supply !== supply || from.board !== undefined) continue;
      const seen = highest * (1 - MOST_LOST_IN_FUSE);
      const each = leastAmps(load.model, load.scale, seen, volts);
      amps += each;
      watts += each * seen;
    }
    return { amps, watts };
  }

  private isSound(run: Run): boolean {
    let known = this.sound.get(run);
    if (known === undefined) {
      const { findings } = this.trial.before;
      known = !findings.some(({ code, subject }) => subject === run.name && CURED_BY_INJECTION.has(code));
      this.sound.set(run, known);
    }
    return known;
  }
}
