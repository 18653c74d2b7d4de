import { sure } from '#grammar/sure.ts';
import { CHECKS } from '../checks/registry.ts';
import { findAtCorners } from '../checks/run-checks.ts';
import { worsens } from '../checks/worsens.ts';
import { prepare } from '../electrics/prepare.ts';
import { type Account, readIslands } from '../model/account.ts';
import { type Conditions, cornersOf, nominal } from '../model/corners.ts';
import type { Finding } from '../model/finding.ts';
import { type Island, islandsOf } from '../model/islands.ts';
import type { Feed, Plan, Run, Supply } from '../model/plan.ts';
import { circuitOf, type IslandCircuit } from '../model/to-circuit.ts';
import type { Choice } from './choice.ts';
import { leastVolts } from './least-draw.ts';
import { fuseRange, outputsFor, type PlannedOutput } from './outputs.ts';
import { type PlannedFeed, plannedFeeds, withFeeds } from './planned-feeds.ts';
import type { Spot } from './spots.ts';

/** The codes that more injection cures. */
export const CURED_BY_INJECTION: ReadonlySet<string> = new Set([
  'low-voltage',
  'voltage-collapse',
  'no-power',
  'port-overloaded',
  'conductor-overloaded',
  'connector-overloaded',
  'cable-overloaded',
]);

/** What is left of some findings where some runs may stay wanting. */
export function withoutSpared(findings: readonly Finding[], spared: ReadonlySet<string> | undefined): Finding[] {
  return findings.filter(({ code, subject }) => !(spared?.has(subject ?? '') && CURED_BY_INJECTION.has(code)));
}

/** Feeds that hold: where they start, and the least voltage of the run with them at nominal conditions. */
export interface Outcome {
  readonly outputs: readonly PlannedOutput[];
  readonly least: number;
  /** A that the supply gives more than before, nominal. */
  readonly drawn: number;
}

interface Before {
  readonly findings: readonly Finding[];
  /** A that the supply gives, nominal and in the worst corner. */
  readonly given: number;
  readonly mostGiven: number;
}

/** Checks of what is joined by wire; those of the plan as a whole are left to the preview. */
const LOCAL_CHECKS = CHECKS.filter((check) => check.run !== undefined && check.whole !== true);

/**
 * Tries feeds on the real network of a run and a supply, with all that is joined to them, in every corner of the plan's
 * tolerances, under the same checks as the plan itself; no text is read anew.
 */
export class Trial {
  readonly base: IslandCircuit;
  /** How many sets of feeds were solved, and how many of these left the run sagging at a first look. */
  tried = 0;
  sagged = 0;
  /** How many would have cured the run, but made something else worse. */
  harmful = 0;
  private readonly plan: Plan;
  private readonly run: Run;
  private readonly island: Island;
  private readonly conditions: readonly Conditions[];
  private readonly bases: readonly IslandCircuit[];
  /** Corners in the order in which they are likely to fail. */
  private readonly order: readonly number[];
  private readonly supply: Supply;
  private readonly spared: ReadonlySet<string> | undefined;
  private known: Before | undefined;

  constructor(plan: Plan, run: Run, supply: Supply, spots: readonly Spot[], spared?: ReadonlySet<string>) {
    this.run = run;
    this.spared = spared;
    this.island = islandWith(plan, run, supply, spots);
    this.plan = restricted(plan, this.island);
    this.conditions = [nominal(plan.design), ...cornersOf(plan.design)];
    this.bases = this.conditions.map((conditions) => circuitOf(this.island, plan.design, conditions));
    this.base = sure(this.bases[0]);
    this.order = [...this.conditions.keys()].sort(
      (a, b) => hardness(sure(this.conditions[b])) - hardness(sure(this.conditions[a])),
    );
    this.supply = supply;
  }

  /** As it stands, without any new feed; solved when it is first asked for. */
  get before(): Before {
    if (this.known !== undefined) return this.known;
    const accounts = sure(this.accountsWith([], false));
    const given = accounts.map((account) => account.supplies.get(this.supply)?.amps ?? 0);
    this.known = {
      findings: this.findingsWith([], accounts),
      given: sure(given[0]),
      mostGiven: Math.max(0, ...given),
    };
    return this.known;
  }

  /** The corner in which a run sags most as a rule, and the circuit there. */
  get hardest(): { readonly base: IslandCircuit; readonly conditions: Conditions } {
    const index = sure(this.order[0]);
    return { base: sure(this.bases[index]), conditions: sure(this.conditions[index]) };
  }

  /** Undefined where the feeds leave something amiss or make something worse. */
  judge(choice: Choice, spots: readonly Spot[]): Outcome | undefined {
    this.tried++;
    const { most } = sure(fuseRange(choice.cable, choice.parallel));
    // First with the largest fuses, which resist least: what sags now sags with smaller ones too.
    const feeds = plannedFeeds(this.run, choice, spots, largestFuses(choice, spots.length));
    const accounts = this.accountsWith(feeds, true);
    if (accounts === undefined) {
      this.sagged++;
      return undefined;
    }
    const loads = feeds.map((feed) => Math.max(...accounts.map((account) => account.outputs.get(feed.from) ?? 0)));
    for (const spare of [false, true]) {
      const outputs = outputsFor(this.plan, choice.owner, loads, most, spare);
      if (outputs === undefined) return undefined;
      const outcome = this.judgeWith(plannedFeeds(this.run, choice, spots, outputs), outputs);
      if (outcome !== undefined) return outcome;
    }
    return undefined;
  }

  /** Pixel of the run, counted from its start, that is furthest below its least voltage in the hardest corner. */
  worstPixel(choice: Choice, spots: readonly Spot[]): number | undefined {
    const { base, conditions } = this.hardest;
    const feeds = spots.length === 0 ? [] : plannedFeeds(this.run, choice, spots, largestFuses(choice, spots.length));
    const { circuit, stretches } = withFeeds(base, feeds, conditions);
    const outcome = prepare(circuit).solve();
    if (outcome.status !== 'solved') return this.run.pixelCount / 2;
    let [lack, worst]: [number, number | undefined] = [1e-9, undefined];
    for (const [index, { run, piece, first }] of stretches.entries()) {
      const found = sure(outcome.stretches[index]);
      const below = leastVolts(piece) - found.leastVolts;
      if (run !== this.run || below <= lack) continue;
      [lack, worst] = [below, first - 1 + found.leastPixel];
    }
    return worst;
  }

  private judgeWith(feeds: readonly PlannedFeed[], outputs: readonly PlannedOutput[]): Outcome | undefined {
    const accounts = this.accountsWith(feeds, true);
    if (accounts === undefined) return undefined;
    const findings = this.findingsWith(feeds, accounts);
    if (findings.some(({ code, subject }) => subject === this.run.name && CURED_BY_INJECTION.has(code)))
      return undefined;
    if (worsens(this.before.findings, withoutSpared(findings, this.spared))) {
      this.harmful++;
      return undefined;
    }
    const [account] = accounts;
    return {
      outputs,
      least: sure(account?.runs.get(this.run)?.least).volts,
      drawn: (account?.supplies.get(this.supply)?.amps ?? 0) - this.before.given,
    };
  }

  private findingsWith(feeds: readonly Feed[], accounts: readonly Account[]): Finding[] {
    const all = new Map(this.plan.feeds);
    for (const feed of feeds) all.set(feed.name, feed);
    return findAtCorners(LOCAL_CHECKS, { ...this.plan, feeds: all }, accounts, undefined);
  }

  /** An account for each condition; with `strict`, undefined as soon as the run sags in one of them. */
  private accountsWith(feeds: readonly PlannedFeed[], strict: boolean): Account[] | undefined {
    const accounts: Account[] = [];
    const island: Island = { ...this.island, feeds: [...this.island.feeds, ...feeds], measurements: [] };
    let prepared: ReturnType<typeof prepare> | undefined;
    for (const index of this.order) {
      const circuit = withFeeds(sure(this.bases[index]), feeds, sure(this.conditions[index]));
      prepared ??= prepare(circuit.circuit);
      const outcome = accounts.length === 0 ? prepared.solve() : prepared.solveWith(circuit.circuit);
      if (strict && (outcome.status !== 'solved' || this.sags(circuit, outcome.stretches))) return undefined;
      accounts[index] = readIslands([{ island, circuit, outcome }]);
    }
    return accounts;
  }

  private sags(circuit: IslandCircuit, stretches: readonly { readonly leastVolts: number }[]): boolean {
    return circuit.stretches.some(
      ({ run, piece }, index) => run === this.run && sure(stretches[index]).leastVolts < leastVolts(piece) - 1e-9,
    );
  }
}

/** New outputs for so many taps, each with the largest fuse that protects the cable. */
function largestFuses({ owner, cable, parallel, trunk }: Choice, taps: number): PlannedOutput[] {
  const highest = Math.max(0, ...owner.outputs.keys());
  const fuse = sure(fuseRange(cable, parallel)).most;
  return Array.from({ length: trunk ? 1 : taps }, (_, index) => ({ number: highest + 1 + index, fuse }));
}

function hardness({ pixels, supplies, celsius }: Conditions): number {
  return pixels - supplies + celsius * 1e-6;
}

/** All that is joined to a run or a supply, with a joint at each place that a feed might be tapped in. */
function islandWith(plan: Plan, run: Run, supply: Supply, spots: readonly Spot[]): Island {
  const islands = islandsIn(plan).filter((island) => island.runs.includes(run) || island.supplies.includes(supply));
  const joints = spots.map((spot) => ({
    tap: { run, ...spot, origin: run.origin },
    volts: 0,
    look: plan.design.look.value,
    brightness: 1,
    date: undefined,
    voltsOrigin: run.origin,
  }));
  return {
    supplies: islands.flatMap((island) => island.supplies),
    boards: islands.flatMap((island) => island.boards),
    controllers: islands.flatMap((island) => island.controllers),
    runs: islands.flatMap((island) => island.runs),
    feeds: islands.flatMap((island) => island.feeds),
    bonds: islands.flatMap((island) => island.bonds),
    measurements: joints,
  };
}

/** The same for each supply that is looked at. */
function islandsIn(plan: Plan): readonly Island[] {
  const islands = islandsOfPlan.get(plan) ?? islandsOf(plan);
  islandsOfPlan.set(plan, islands);
  return islands;
}

const islandsOfPlan = new WeakMap<Plan, readonly Island[]>();

function restricted(plan: Plan, island: Island): Plan {
  const named = <T extends { readonly name: string }>(things: readonly T[]) =>
    new Map(things.map((thing) => [thing.name, thing]));
  return {
    ...plan,
    supplies: named(island.supplies),
    boards: named(island.boards),
    controllers: named(island.controllers),
    runs: named(island.runs),
    feeds: named(island.feeds),
    bonds: named(island.bonds),
    measurements: [],
  };
}
