import type { Analysis } from '../analysis/analysis.ts';
import { runsDrawn } from '../papers/drawn.ts';
import type { Cell, Paper, Table } from '../papers/paper.ts';
import type { Comparison } from './compare.ts';

/** What a change does, as a sheet to print. */
export function comparisonPaper(before: string, after: string, comparison: Comparison): Paper {
  const { newFindings, goneFindings, sections } = comparison;
  const findings = (id: string, title: string, list: typeof newFindings): Table[] =>
    list.length === 0
      ? []
      : [
          {
            id,
            title,
            columns: [{ title: 'level' }, { title: 'code' }, { title: 'what' }],
            rows: list.map(({ level, code, message }): Cell[] => [level, code, message]),
          },
        ];
  const isSame = newFindings.length + goneFindings.length + sections.length === 0;
  return {
    id: 'review',
    title: 'What this change does',
    intro: `From ${before} to ${after}.${isSame ? ' Nothing that Festoon computes has changed.' : ''}`,
    tables: [
      ...findings('new', 'New findings', newFindings),
      ...findings('gone', 'Findings that are gone', goneFindings),
      ...sections.map(
        ({ section, changes }): Table => ({
          id: section,
          title: `${section.charAt(0).toUpperCase()}${section.slice(1)}`,
          columns: [
            { title: 'what' },
            { title: 'before', align: 'right' },
            { title: 'after', align: 'right' },
            { title: '' },
          ],
          rows: changes.map((change): Cell[] => [
            change.subject === 'display' ? change.what : `${change.subject} ${change.what}`,
            change.before?.text ?? '–',
            change.after?.text ?? 'gone',
            change.verdict,
          ]),
        }),
      ),
    ],
  };
}

/** The runs that change, drawn as they were and as they are. */
export function comparisonDrawings(before: Analysis, after: Analysis, { sections }: Comparison): Paper[] {
  const runs = sections.find(({ section }) => section === 'runs')?.changes ?? [];
  const names = new Set(runs.map(({ subject }) => subject));
  return [
    ...runsDrawn(before, names, { id: 'before', title: 'Before', intro: 'The runs that change, as they were.' }),
    ...runsDrawn(after, names, { id: 'after', title: 'After', intro: 'The same runs as they are now.' }),
  ];
}
