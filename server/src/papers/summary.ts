import { type Analysis, levelOf } from '../analysis/analysis.ts';
import { addressedPixels, isFloods } from '../model/fixtures.ts';
import type { Plan } from '../model/plan.ts';
import { energyText, seasonAccount } from '../model/season.ts';
import { count, share, watts } from '../model/texts.ts';
import { cablesOf, isCut } from './cable-list.ts';
import { costsOf, costText } from './costs.ts';
import { needsOf } from './needs.ts';
import type { Cell, Paper, Table } from './paper.ts';
import { supplyLoads } from './supply-loads.ts';

/** The display at a glance, and first of all whether it may be built as it stands. */
export function summary(analysis: Analysis): Paper {
  const { plan, account } = analysis;
  const pixels = [...plan.runs.values()].reduce((sum, run) => sum + addressedPixels(run), 0);
  const power = [...account.supplies.values()].reduce((sum, supply) => sum + supply.watts, 0);
  const cost = costText(costsOf(plan));
  const season = seasonAccount(plan, account);
  const rows: Cell[][] = [
    ['pixels', count(pixels, 'pixel')],
    ...fixtureRows(plan),
    ['runs', runsText(plan)],
    ['supplies', `${plan.supplies.size}, together ${watts(power)}`],
    ...(plan.boards.size === 0 ? [] : [['fused boards', `${plan.boards.size}`]]),
    ['feeds', `${plan.feeds.size}`],
    ['cables to cut', `${cablesOf(plan).filter(isCut).length}`],
    ...(cost === undefined ? [] : [['parts', cost]]),
    ...(season === undefined ? [] : [['season', energyText(season)]]),
    [
      'designed for',
      `${plan.design.look.value} at ${share(plan.design.brightness.value)}, ${plan.design.frameRate.value} frames a second, air ${plan.design.air.value.from} to ${plan.design.air.value.to} degC`,
    ],
  ];
  return {
    id: 'summary',
    title: 'At a glance',
    intro: verdict(analysis),
    tables: [
      { id: 'summary', columns: [{ title: 'what' }, { title: 'how much' }], rows },
      supplyLoads(plan, account),
      ...findingTables(analysis),
    ],
  };
}

/** "8 on 2 controllers and 1 receiver"; floods hang on none. */
function runsText(plan: Plan): string {
  const runs = [...plan.runs.values()].filter((run) => !isFloods(run)).length;
  const boards = [...plan.controllers.values()];
  const receivers = boards.filter(({ isReceiver }) => isReceiver).length;
  const behind = receivers === 0 ? '' : ` and ${count(receivers, 'receiver')}`;
  return `${runs} on ${count(boards.length - receivers, 'controller')}${behind}`;
}

/** Panels and floods, part by part. */
function fixtureRows(plan: Plan): Cell[][] {
  return needsOf(plan).flatMap(({ kind, name, label, amount }): Cell[][] =>
    kind === 'panel' || kind === 'flood' ? [[`${kind}s`, `${amount.toLocaleString('en')} of ${label ?? name}`]] : [],
  );
}

function findingsThatMatter(analysis: Analysis): { level: string; code: string; message: string }[] {
  return analysis.findings
    .map((finding) => ({ level: levelOf(finding), code: finding.code, message: finding.message }))
    .filter(({ level }) => level !== 'information');
}

function verdict(analysis: Analysis): string {
  const found = findingsThatMatter(analysis);
  if (found.length === 0) return 'The plan checks clean.';
  const errors = found.filter(({ level }) => level === 'error').length;
  const told = `${count(found.length, 'finding')}${errors > 0 ? `, ${count(errors, 'error')} among them` : ''}`;
  return `Do not build from these papers yet: the plan has ${told}.`;
}

/** More than these are not read on paper. */
const MOST_FINDINGS = 60;

function findingTables(analysis: Analysis): Table[] {
  const found = findingsThatMatter(analysis);
  if (found.length === 0) return [];
  const rows = found.slice(0, MOST_FINDINGS).map(({ level, code, message }): Cell[] => [level, code, message]);
  if (found.length > MOST_FINDINGS) rows.push(['', '', `… and ${found.length - MOST_FINDINGS} more.`]);
  return [
    { id: 'findings', title: 'Findings', columns: [{ title: 'level' }, { title: 'code' }, { title: 'what' }], rows },
  ];
}
