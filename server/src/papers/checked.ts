import { type Analysis, levelOf } from '../analysis/analysis.ts';
import { type Coverage, coverageOf, lookedAt } from '../checks/coverage.ts';
import type { Cell, Paper, Table } from './paper.ts';

/** What was looked at and what was not, and what the plan accepts with which reason: nothing is left out in silence. */
export function checkedPaper(analysis: Analysis): Paper {
  return {
    id: 'checked',
    title: 'What was checked',
    intro:
      'A check that looked at nothing has found nothing: read the second table before you trust the first sheet. What is accepted stands here with its reason.',
    tables: [...acceptedTable(analysis), ...coverageTables(analysis)],
  };
}

function acceptedTable(analysis: Analysis): Table[] {
  if (analysis.accepted.length === 0) return [];
  return [
    {
      id: 'accepted',
      title: 'Accepted',
      columns: [{ title: 'code' }, { title: 'level' }, { title: 'what' }, { title: 'because' }],
      rows: analysis.accepted.map(({ finding, by }): Cell[] => [
        finding.code,
        levelOf(finding),
        finding.message,
        by.reason,
      ]),
    },
  ];
}

function coverageTables(analysis: Analysis): Table[] {
  const coverage = coverageOf(analysis);
  const rowOf = (each: Coverage): Cell[] => [each.check.code, each.check.title, lookedAt(each), each.why];
  const columns = [{ title: 'code' }, { title: 'what it looks for' }, { title: 'looked at' }, { title: 'left out' }];
  return [
    { id: 'checked', title: 'Looked at', columns, rows: coverage.filter(({ ran }) => ran).map(rowOf) },
    { id: 'not-checked', title: 'Not looked at', columns, rows: coverage.filter(({ ran }) => !ran).map(rowOf) },
  ].filter(({ rows }) => rows.length > 0);
}
