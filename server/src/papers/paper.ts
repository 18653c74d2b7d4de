import type { Drawing } from '../drawing/shape.ts';

/** Papers for the shop, the bench and the yard, as data: what a sheet says, before it becomes HTML or CSV. */

export interface Paper {
  /** A short word for file names and links. */
  readonly id: string;
  readonly title: string;
  /** What the sheet is for, in a sentence or two. */
  readonly intro: string;
  readonly tables: readonly Table[];
  readonly drawings?: readonly Drawing[];
  /** Lines to tick off, one after the other. */
  readonly steps?: readonly Step[];
}

export interface Step {
  readonly title: string;
  readonly items: readonly string[];
}

export interface Table {
  /** Unique among the tables of a report: the name of its CSV file. */
  readonly id: string;
  readonly title?: string;
  readonly note?: string;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Cell[])[];
  /** Set below the rows, bold. */
  readonly sum?: readonly Cell[];
}

export interface Column {
  readonly title: string;
  readonly align?: 'right';
  /** The unit of the plain numbers in the CSV file. */
  readonly unit?: string;
  /** Empty on paper, to be written into. */
  readonly blank?: boolean;
}

/** Text, or a number with the text that a person reads; undefined is an empty cell. */
export type Cell = string | Figure | undefined;

export interface Figure {
  readonly text: string;
  readonly value: number;
}

export const figure = (value: number, text: (value: number) => string): Figure => ({ value, text: text(value) });
export const whole = (value: number): Figure => ({ value, text: value.toLocaleString('en') });
