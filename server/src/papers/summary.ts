import { type Analysis, levelOf } from '../analysis/analysis.ts';
import { addressedPixels } from '../model/fixtures.ts';
import { count, share, watts } from '../model/texts.ts';
import { cablesOf } from './cable-list.ts';
import type { Cell, Paper, Table } from './paper.ts';
import { supplyLoads } from './supply-loads.ts';

/** The display at a glance, and first of all whether it may be built as it stands. */
export function summary(analysis: Analysis): Paper {
  const { plan, account } = analysis;
  const pixels = [...plan.runs.values()].reduce((sum, run) => sum + addressedPixels(run), 0);
  const power = [...account.supplies.values()].reduce((sum, supply) => sum + supply.watts, 0);
  const rows: Cell[][] = [
    ['pixels', count(pixels, 'pixel')],
    ['runs', `${plan.runs.size} on ${count(plan.controllers.size, 'board')}`],
    ['supplies', `${plan.supplies.size}, together ${watts(power)}`],
    ['feeds', `${plan.feeds.size}`],
    ['cables to cut', `${cablesOf(plan).filter(({ part }) => part !== undefined).length}`],
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
