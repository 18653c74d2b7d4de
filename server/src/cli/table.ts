import { sure } from '#grammar/sure.ts';
import { clipPiece, type Line, lineWidth, type Piece, styled } from './page.ts';

export interface Column {
  /** Shown faint above the column, unless it brings a style of its own. */
  readonly title?: Piece;
  readonly align?: 'left' | 'right';
  /** Most places that a cell may take; longer ones are cut. Such a column may shrink where the terminal is narrow. */
  readonly most?: number;
  /** Left out when the table is too wide for the terminal; the highest number goes first. */
  readonly spare?: number;
}

export type Row = readonly Piece[];

/** Rows set in aligned columns below their titles. Columns without any text are left out. */
export function table(columns: readonly Column[], rows: readonly Row[], width: number): Line[] {
  if (rows.length === 0) return [];
  const header: Row = columns.map(({ title = '' }) => (typeof title === 'string' ? styled(title, 'faint') : title));
  const cells = [header, ...rows];
  const widths = columns.map(({ most }, index) => {
    const widest = cells.reduce((sum, row) => Math.max(sum, lineWidth([row[index] ?? ''])), 0);
    return Math.min(widest, most ?? widest);
  });
  // A column that holds nothing but its title says nothing; the first one names the table.
  for (const index of widths.keys())
    if (index > 0 && rows.every((row) => lineWidth([row[index] ?? '']) === 0)) widths[index] = 0;
  const shown = makeFit(columns, widths, width);
  return cells.map((row) => {
    const line: Piece[] = [];
    for (const index of shown) {
      const room = sure(widths[index]);
      const cell = clipPiece(row[index] ?? '', room);
      const blank = ' '.repeat(room - lineWidth([cell]));
      if (line.length > 0) line.push(BETWEEN);
      if (columns[index]?.align === 'right') line.push(blank, cell);
      else line.push(cell, blank);
    }
    return line;
  });
}

const BETWEEN = '  ';
const NARROWEST = 8;

/** Drops spare columns and then narrows the widest ones until the table fits, or nothing more can give. */
function makeFit(columns: readonly Column[], widths: number[], width: number): number[] {
  let shown = [...columns.keys()].filter((index) => sure(widths[index]) > 0);
  const widthOf = (index: number) => sure(widths[index]);
  const excess = () => shown.reduce((sum, index) => sum + widthOf(index) + BETWEEN.length, -BETWEEN.length) - width;
  while (excess() > 0) {
    const spare = shown.filter((index) => columns[index]?.spare !== undefined);
    const [first] = spare.sort((a, b) => sure(columns[b]?.spare) - sure(columns[a]?.spare));
    if (first === undefined) break;
    shown = shown.filter((index) => index !== first);
  }
  for (let left = excess(); left > 0; left--) {
    const elastic = shown.filter((index) => columns[index]?.most !== undefined && widthOf(index) > NARROWEST);
    const [widest] = elastic.sort((a, b) => widthOf(b) - widthOf(a));
    if (widest === undefined) break;
    widths[widest] = widthOf(widest) - 1;
  }
  return shown;
}
