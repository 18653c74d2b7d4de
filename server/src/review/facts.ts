import { sure } from '#grammar/sure.ts';
import { type Analysis, levelOf } from '../analysis/analysis.ts';
import { cablesOn } from '../checks/route-crowded.ts';
import type { Account } from '../model/account.ts';
import { addressesOf } from '../model/addresses.ts';
import type { Level } from '../model/finding.ts';
import { addressedPixels, sizeText } from '../model/fixtures.ts';
import type { Plan } from '../model/plan.ts';
import { amountText } from '../model/prices.ts';
import { energyText, seasonAccount } from '../model/season.ts';
import { amps, count, metres, volts, watts } from '../model/texts.ts';
import { cablesOf } from '../papers/cable-list.ts';
import { costsOf } from '../papers/costs.ts';
import { needsOf } from '../papers/needs.ts';
import { type Fact, factsAbout } from './fact.ts';
import { powerFacts } from './power-facts.ts';

/**
 * What a plan comes to, as a flat list of facts that two versions of it can be compared by. Each fact has a name that stays
 * the same while the thing keeps its name.
 */
export interface Facts {
  readonly facts: ReadonlyMap<string, Fact>;
  readonly findings: readonly KeyedFinding[];
}

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
    ...powerFacts(plan, account),
    ...routeFacts(plan),
    ...addressFacts(plan),
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
  const about = factsAbout('display', 'display');
  const season = seasonAccount(plan, account);
  const pixels = runs.reduce((sum, run) => sum + addressedPixels(run), 0);
  return [
    about('pixels', pixels, count(pixels, 'pixel')),
    about('runs', runs.length, count(runs.length, 'run')),
    about('feeds', plan.feeds.size, count(plan.feeds.size, 'feed'), 'less'),
    about('power', power, watts(power)),
    about('cables', cables.length, count(cables.length, 'cable'), 'less'),
    about('copper', copper, `${copper.toFixed(copper < 10 ? 2 : 1)} kg`, 'less'),
    ...(season === undefined ? [] : [about('season', season.joules, energyText(season), 'less')]),
    ...[...costsOf(plan).total].map(([currency, sum]) =>
      about(`cost in ${currency}`, sum, amountText(sum, currency), 'less'),
    ),
  ];
}

function runFacts(plan: Plan, account: Account): Fact[] {
  return [...plan.runs.values()].flatMap((run): Fact[] => {
    const about = factsAbout('runs', run.name);
    const load = account.runs.get(run);
    const least = load?.least;
    return [
      about('pixels', addressedPixels(run), sizeText(run)),
      ...(run.port === undefined ? [] : [about('port', run.port, `${run.controller?.name ?? '?'}.${run.port}`)]),
      ...(load === undefined ? [] : [about('load', load.amps, amps(load.amps))]),
      ...(least === undefined
        ? []
        : [about('least voltage', least.volts, `${volts(least.volts)} at [${least.pixel}]`, 'more')]),
    ];
  });
}

function routeFacts(plan: Plan): Fact[] {
  return plan.routes.map((route) => {
    const cables = cablesOn(plan, route).reduce((sum, cable) => sum + cable.count, 0);
    const limit = route.most === undefined ? '' : ` of ${route.most}`;
    const about = factsAbout('routes', `${route.from.name} to ${route.to.name}`);
    return about('cables', cables, `${count(cables, 'cable')}${limit}`, 'less');
  });
}

/** Where each run starts and ends: what has to be typed into the controller and the show software anew where it moves. */
function addressFacts(plan: Plan): Fact[] {
  return [...addressesOf(plan).values()].flatMap(({ run, spans, from }): Fact[] => {
    const [first, last] = [sure(spans[0]), sure(spans.at(-1))];
    const end = last.slot + last.slots - 1;
    const text =
      first.universe === last.universe
        ? `universe ${first.universe} slots ${first.slot} to ${end}`
        : `universe ${first.universe} slot ${first.slot} to ${last.universe} slot ${end}`;
    return [factsAbout('addresses', run.name)('slots', from, text)];
  });
}

function partFacts(plan: Plan): Fact[] {
  return needsOf(plan).map((need) => {
    const text = need.kind === 'cable' ? metres(need.amount, plan.design.units) : need.amount.toLocaleString('en');
    // The names of these say already what they are.
    const what = need.kind === 'fuse' || need.kind === 'fused board' ? 'needed' : need.kind;
    return factsAbout('parts', need.name)(what, need.amount, text);
  });
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
