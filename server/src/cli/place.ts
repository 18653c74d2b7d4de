import type { SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import { offsetsOf } from '../analysis/host.ts';
import type { Origin } from '../model/finding.ts';

/** Where something stands in a file. Lines and columns count from 1, columns in UTF-16 code units. */
export interface Place {
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

export function placeOf(file: SourceFile, origin: Origin): Place {
  const { start, end } = sure(offsetsOf(file, origin));
  const from = position(file, start);
  const to = position(file, Math.max(start, end));
  return { line: from.line, column: from.column, endLine: to.line, endColumn: to.column };
}

/** The text of a line, without its end. */
export function lineText(file: SourceFile, line: number): string {
  const starts = lineStarts(file);
  return file.text.slice(sure(starts[line - 1]), starts[line] ?? file.text.length).replace(/[\r\n]+$/, '');
}

function position(file: SourceFile, offset: number): { line: number; column: number } {
  const starts = lineStarts(file);
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (sure(starts[middle]) <= offset) low = middle;
    else high = middle - 1;
  }
  return { line: low + 1, column: offset - sure(starts[low]) + 1 };
}

const known = new WeakMap<SourceFile, readonly number[]>();

function lineStarts(file: SourceFile): readonly number[] {
  let starts = known.get(file);
  if (starts === undefined) {
    starts = [0, ...Array.from(file.text.matchAll(/\r\n|\n|\r/g), (end) => end.index + end[0].length)];
    known.set(file, starts);
  }
  return starts;
}
