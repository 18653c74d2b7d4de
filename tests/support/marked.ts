import type { Analysis } from '#server/analysis/analysis.ts';
import type { FileEdit } from '#server/ide/file-span.ts';
import { analysePlan, MAIN } from './plans.ts';

/** A plan with a cursor: `|` marks it and is not part of the text. See plans.ts for how a plan may hold several files. */
export interface Marked {
  readonly analysis: Analysis;
  readonly uri: string;
  readonly text: string;
  /** Offset of the cursor, UTF-16. */
  readonly offset: number;
  /** Of all cursors, where there are several. */
  readonly offsets: readonly number[];
}

/** Analyses a plan whose first file has at least one cursor. */
export function marked(plan: string): Marked {
  const pieces = plan.split('|');
  const offsets: number[] = [];
  let length = 0;
  for (const piece of pieces.slice(0, -1)) {
    length += piece.length;
    offsets.push(length);
  }
  const [offset] = offsets;
  if (offset === undefined) throw new Error('the plan has no cursor');
  const whole = pieces.join('');
  const { analysis } = analysePlan(whole);
  const text = analysis.files[0]?.text;
  if (text === undefined || offset > text.length) throw new Error('the cursor stands in another file');
  return { analysis, uri: MAIN, text, offset, offsets };
}

/** The text with some edits of one file made. Edits may not overlap. */
export function edited(text: string, edits: readonly Omit<FileEdit, 'uri'>[]): string {
  const ordered = edits
    .map((edit, order) => ({ ...edit, order }))
    .sort((a, b) => b.start - a.start || b.order - a.order);
  let result = text;
  let last = Number.POSITIVE_INFINITY;
  for (const { start, end, text: put } of ordered) {
    if (end > last) throw new Error('edits overlap');
    result = result.slice(0, start) + put + result.slice(end);
    last = start;
  }
  return result;
}

/** The text with the span in ‹ ›, as tests show where an answer points. */
export function shown(
  text: string,
  span: { readonly start: number; readonly end: number } | undefined,
): string | undefined {
  if (span === undefined) return undefined;
  const lineStart = text.lastIndexOf('\n', span.start - 1) + 1;
  const lineEnd = text.indexOf('\n', span.end);
  return `${text.slice(lineStart, span.start)}‹${text.slice(span.start, span.end)}›${text.slice(span.end, lineEnd < 0 ? text.length : lineEnd)}`.trim();
}
