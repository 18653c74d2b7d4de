import { type Analysis, levelOf } from '../analysis/analysis.ts';
import { cablesOn } from '../checks/route-crowded.ts';
import type { Account } from '../model/account.ts';
import { circuitAmps } from '../model/circuit-load.ts';
import type { Level } from '../model/finding.ts';
import { addressedPixels, sizeText } from '../model/fixtures.ts';
import type { Plan } from '../model/plan.ts';
import { amountText } from '../model/prices.ts';
import { amps, count, metres, share, volts, watts } from '../model/texts.ts';
import { cablesOf } from '../papers/cable-list.ts';
import { costsOf } from '../papers/costs.ts';
import { needsOf } from '../papers/needs.ts';

/**
 * What a plan comes to, as a flat list of facts that two versions of it can be compared by. Each fact has a name that stays
 * the same while the thing keeps its name.
 */
export interface Facts {
  readonly facts: ReadonlyMap<string, Fact>;
  readonly findings: readonly KeyedFinding[];
}

export interface Fact {
  readonly section: Section;
  /** What the fact is about: "psu-a", "shed to roof", "eaves". */
  readonly subject: string;
  /** What is told of it: "load", "least voltage". */
  readonly what: string;
  readonly value: number;
  /** The value as a person reads it, with its limit where it has one. */
  readonly text: string;
  /** Which way is better; undefined where neither is. */
  readonly better: 'less' | 'more' | undefined;
}

export const SECTIONS = ['display', 'runs', 'supplies', 'circuits', 'routes', 'parts'] as const;
export type Section = (typeof SECTIONS)[number];

export interface KeyedFinding {
  readonly key: string;
  readonly level: Level;
  readonly code: string;
  readonly message: string;
}

export function factsOf(analysis: Analysis): Facts {
  const { plan, account } = analysis;
  const list = [
    ...displayFacts(plan, account),
    ...runFacts(plan, account),
    ...supplyFacts(plan, account),
    ...circuitFacts(plan, account),
    ...routeFacts(plan),
    ...partFacts(plan),
  ];
  return {
    facts: new Map(list.map((fact) => [`${fact.section}\n${fact.subject}\n${fact.what}`, fact])),
    findings: keyed(analysis),
  };
}

/** kg per m and mm2: the density of copper, 8.89 g/cm3 (IEC 60028). */
const COPPER = 8.89e-3;

function displayFacts(plan: Plan, account: Account): Fact[] {
  const runs = [...plan.runs.values()];
  const cables = cablesOf(plan).filter(({ part }) => part !== undefined);
  const power = [...account.supplies.values()].reduce((sum, supply) => sum + supply.watts, 0);
  const copper = cables.reduce((sum, { part, metres: length, parallel }) => {
    const cores = ['V+', 'ground'].filter((core) => part?.cores.has(core)).length;
    return sum + (part?.conductor?.area ?? 0) * length * parallel * cores * COPPER;
  }, 0);
  const about = (what: string, value: number, text: string, better: Fact['better']): Fact => ({
    section: 'display',
    subject: 'display',
    what,
    value,
    text,
    better,
  });
  const pixels = runs.reduce((sum, run) => sum + addressedPixels(run), 0);
  return [
    about('pixels', pixels, count(pixels, 'pixel'), undefined),
    about('runs', runs.length, count(runs.length, 'run'), undefined),
    about('feeds', plan.feeds.size, count(plan.feeds.size, 'feed'), 'less'),
    about('power', power, watts(power), undefined),
    about('cables', cables.length, count(cables.length, 'cable'), 'less'),
    about('copper', copper, `${copper.toFixed(copper < 10 ? 2 : 1)} kg`, 'less'),
    ...[...costsOf(plan).total].map(([currency, sum]) =>
      about(`cost in ${currency}`, sum, amountText(sum, currency), 'less'),
    ),
  ];
}

function runFacts(plan: Plan, account: Account): Fact[] {
  return [...plan.runs.values()].flatMap((run): Fact[] => {
    const about = (what: string, value: number, text: string, better: Fact['better']): Fact => ({
      section: 'runs',
      subject: run.name,
      what,
      value,
      text,
      better,
    });
    const load = account.runs.get(run);
    const least = load?.least;
    return [
      about('pixels', addressedPixels(run), sizeText(run), undefined),
      ...(run.port === undefined
        ? []
        : [about('port', run.port, `${run.controller?.name ?? '?'}.${run.port}`, undefined)]),
      ...(load === undefined ? [] : [about('load', load.amps, amps(load.amps), undefined)]),
      ...(least === undefined
        ? []
        : [about('least voltage', least.volts, `${volts(least.volts)} at [${least.pixel}]`, 'more')]),
    ];
  });
}

function supplyFacts(plan: Plan, account: Account): Fact[] {
  return [...account.supplies.values()]
    .map(({ supply, amps: load }): Fact => {
      const rated = supply.part?.rated;
      const used = rated === undefined ? '' : `, ${share(load / rated)} of its rating`;
      return {
        section: 'supplies',
        subject: supply.name,
        what: 'load',
        value: load,
        text: `${amps(load)}${used}`,
        better: 'less',
      };
    })
    .filter(({ subject }) => plan.supplies.has(subject));
}

function circuitFacts(plan: Plan, account: Account): Fact[] {
  return [...plan.circuits.values()].map((circuit): Fact => {
    const load = circuitAmps(account, circuit);
    const used = circuit.amps === undefined ? '' : `, ${share(load / circuit.amps)} of its breaker`;
    return {
      section: 'circuits',
      subject: circuit.name,
      what: 'load',
      value: load,
      text: `${amps(load)}${used}`,
      better: 'less',
    };
  });
}

function routeFacts(plan: Plan): Fact[] {
  return plan.routes.map((route): Fact => {
    const cables = cablesOn(plan, route).reduce((sum, cable) => sum + cable.count, 0);
    const limit = route.most === undefined ? '' : ` of ${route.most}`;
    return {
      section: 'routes',
      subject: `${route.from.name} to ${route.to.name}`,
      what: 'cables',
      value: cables,
      text: `${count(cables, 'cable')}${limit}`,
      better: 'less',
    };
  });
}

function partFacts(plan: Plan): Fact[] {
  return needsOf(plan).map(
    (need): Fact => ({
      section: 'parts',
      subject: need.name,
      what: need.kind,
      value: need.amount,
      text: need.kind === 'cable' ? metres(need.amount, plan.design.units) : need.amount.toLocaleString('en'),
      better: undefined,
    }),
  );
}

/** Findings are told apart by code and by what they are about; numbers in a message may change without it being new. */
function keyed(analysis: Analysis): KeyedFinding[] {
  const times = new Map<string, number>();
  return analysis.findings.map((finding) => {
    const about = finding.subject ?? wordOf(finding.origin);
    const base = `${finding.code}\n${about}`;
    const time = (times.get(base) ?? 0) + 1;
    times.set(base, time);
    return { key: `${base}\n${time}`, level: levelOf(finding), code: finding.code, message: finding.message };
  });
}

function wordOf({ declaration, start, end }: Analysis['findings'][number]['origin']): string {
  return declaration.text.slice(start, end);
}
