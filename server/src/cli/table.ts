import { clipPiece, type Line, lineWidth, type Piece } from './page.ts';

export interface Column {
  readonly title?: string;
  readonly align?: 'left' | 'right';
  /** Most columns of the terminal that a cell may take; longer ones are cut. */
  readonly most?: number;
  /** Left out when the table is too wide for the terminal; the highest number goes first. */
  readonly spare?: number;
}

/** A row with its cells, or one line of free text among the rows. */
export type Row = readonly Piece[];

/** Rows set in aligned columns, indented by two, with the titles as a first row where there are any. */
export function table(columns: readonly Column[], rows: readonly Row[], width: number): Line[] {
  if (rows.length === 0) return [];
  const titles = columns.some((column) => column.title !== undefined);
  const header: Row = columns.map((column) => ({ text: column.title ?? '', style: 'faint' }));
  const cells = [...(titles ? [header] : []), ...rows].map((row) =>
    columns.map((column, index) => clipPiece(row[index] ?? '', column.most ?? Number.POSITIVE_INFINITY)),
  );
  const widths = columns.map((_, index) =>
    cells.reduce((most, row) => Math.max(most, lineWidth([row[index] ?? ''])), 0),
  );
  const shown = fit(columns, widths, width);
  return cells.map((row) => {
    const line: Piece[] = [INDENT];
    for (const index of shown) {
      const cell = row[index] ?? '';
      const room = ' '.repeat((widths[index] ?? 0) - lineWidth([cell]));
      if (line.length > 1) line.push(BETWEEN);
      if (columns[index]?.align === 'right') line.push(room, cell);
      else line.push(cell, room);
    }
    return line;
  });
}

const INDENT = '  ';
const BETWEEN = '  ';

/** The columns that are shown: spare ones go while the table is too wide, and empty ones always. */
function fit(columns: readonly Column[], widths: readonly number[], width: number): number[] {
  let shown = columns.map((_, index) => index).filter((index) => (widths[index] ?? 0) > 0);
  const needed = () =>
    INDENT.length + shown.reduce((sum, index) => sum + (widths[index] ?? 0) + BETWEEN.length, -BETWEEN.length);
  while (needed() > width) {
    const spare = shown.filter((index) => columns[index]?.spare !== undefined);
    const first = spare.sort((a, b) => (columns[b]?.spare ?? 0) - (columns[a]?.spare ?? 0))[0];
    if (first === undefined) break;
    shown = shown.filter((index) => index !== first);
  }
  return shown;
}
