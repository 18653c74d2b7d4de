import type { Cell, Column, Table } from './paper.ts';

/**
 * A table as RFC 4180 text: commas, CRLF, quotes where they are needed. A spreadsheet takes a cell that starts with
 * =, +, -, @, a tab or a return for a formula, so such text gets an apostrophe in front; numbers stay numbers.
 */
export function csv({ columns, rows }: Table): string {
  const lines = [columns.map(headOf), ...rows.map((row) => columns.map((_, index) => cellText(row[index])))];
  return lines.map((line) => `${line.map(quoted).join(',')}\r\n`).join('');
}

function headOf({ title, unit }: Column): string {
  return safe(unit === undefined ? title : `${title} (${unit})`);
}

function cellText(cell: Cell): string {
  if (cell === undefined) return '';
  if (typeof cell === 'string') return safe(cell);
  return Number.isFinite(cell.value) ? String(Number(cell.value.toPrecision(9))) : '';
}

function safe(text: string): string {
  return /^[=+\-@\t\r\n]/.test(text) ? `'${text}` : text;
}

function quoted(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
