import { escapeMarkdown } from '../ide/markdown.ts';
import { CAUTIONS } from '../papers/cautions.ts';
import type { Cell, Paper, Step, Table } from '../papers/paper.ts';

/** Papers as Markdown, to be read beside the plan, below the cautions. Drawings are left out: the drawing panel has them. */
export function paperMarkdown(papers: readonly Paper[]): string {
  return `${[escapeMarkdown(CAUTIONS.join(' ')), ...papers.map(sheet)].join('\n\n')}\n`;
}

function sheet({ title, intro, tables, steps = [] }: Paper): string {
  return [`# ${escapeMarkdown(title)}`, escapeMarkdown(intro), ...tables.map(tableText), ...steps.map(stepText)]
    .filter((part) => part !== '')
    .join('\n\n');
}

function tableText({ title, note, columns, rows, sum }: Table): string {
  const line = (cells: readonly Cell[]) => `| ${columns.map((_, index) => cellText(cells[index])).join(' | ')} |`;
  const grid = [
    line(columns.map((column) => column.title)),
    `|${columns.map(({ align }) => (align === 'right' ? '--:' : '---')).join('|')}|`,
    ...rows.map(line),
    ...(sum === undefined ? [] : [line(sum)]),
  ];
  const head = title === undefined ? [] : [`## ${escapeMarkdown(title)}`];
  const under = note === undefined ? [] : [escapeMarkdown(note)];
  return [...head, ...under, ...(rows.length === 0 ? [] : [grid.join('\n')])].join('\n\n');
}

/** A line break would end the row; a bar is escaped as any other mark. */
function cellText(cell: Cell): string {
  const text = cell === undefined ? '' : typeof cell === 'string' ? cell : cell.text;
  return escapeMarkdown(text.replace(/\s+/g, ' '));
}

function stepText({ title, items }: Step): string {
  return [`## ${escapeMarkdown(title)}`, items.map((item) => `- [ ] ${cellText(item)}`).join('\n')].join('\n\n');
}
