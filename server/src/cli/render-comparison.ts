import type { Change, Comparison } from '../review/compare.ts';
import type { Section } from '../review/fact.ts';
import type { KeyedFinding } from '../review/facts.ts';
import { type Line, type Piece, styled, wrap } from './page.ts';
import { table } from './table.ts';

export const SECTION_TITLES: Readonly<Record<Section, string>> = {
  display: 'Display',
  runs: 'Runs',
  supplies: 'Supplies',
  outputs: 'Fused outputs',
  circuits: 'Mains circuits',
  routes: 'Routes',
  addresses: 'Addresses',
  parts: 'Parts',
};

/** What a change does, for a terminal: first what is new and what is gone among the findings, then the figures. */
export function renderComparison(comparison: Comparison, width: number): Line[] {
  const lines: Line[] = [];
  lines.push(...findingLines('New', comparison.newFindings, width));
  lines.push(...findingLines('Gone', comparison.goneFindings, width));
  for (const { section, changes } of comparison.sections) {
    const columns = [
      { title: styled(SECTION_TITLES[section], 'strong'), most: 34 },
      { title: 'before' },
      {},
      { title: 'after' },
    ];
    const rows = changes.map((change): Piece[] => [
      `  ${nameOf(change)}`,
      change.before?.text ?? '–',
      '→',
      afterPiece(change),
    ]);
    lines.push(...table(columns, rows, width), []);
  }
  return lines;
}

export function nameOf({ subject, what }: Change): string {
  if (subject === 'display') return what;
  return `${subject}  ${what}`;
}

function afterPiece({ after, verdict }: Change): Piece {
  const text = after?.text ?? 'gone';
  if (verdict === undefined) return text;
  return verdict === 'better' ? styled(text, 'good') : styled(text, 'warning');
}

function findingLines(title: string, findings: readonly KeyedFinding[], width: number): Line[] {
  if (findings.length === 0) return [];
  return [
    [styled(`${title}:`, 'strong')],
    ...findings.flatMap(({ level, code, message }): Line[] => [
      [styled(`  ${level}`, title === 'Gone' ? 'faint' : level), '  ', styled(code, 'faint')],
      ...wrap(message, width - 4).map(
        (text): Line => [title === 'Gone' ? styled(`    ${text}`, 'faint') : `    ${text}`],
      ),
    ]),
    [],
  ];
}
