import type { Span } from '#grammar/ast.ts';
import { formatText } from '#grammar/format.ts';
import { lineStart } from '#grammar/line-start.ts';
import type { SourceFile } from '#grammar/source.ts';
import { lineChanges, type TextChange } from './format.ts';
import { declarationAt } from './token-at.ts';

/** The changes that bring the lines of a span into the one style. Each declaration is laid out by itself. */
export function formatRange(file: SourceFile, span: Span): TextChange[] {
  const [first, last] = [lineStart(file.text, span.start), lineEnd(file.text, span.end)];
  const from = declarationAt(file, first);
  const changes: TextChange[] = [];
  for (const declaration of file.declarations.slice(file.declarations.indexOf(from))) {
    const base = file.offsets.of(declaration);
    if (base > last) break;
    // Blank lines between declarations belong to no line of the span.
    const text = declaration.text.trimEnd();
    const lead = text.length - text.trimStart().length;
    const start = lead === 0 ? 0 : lineStart(text, lead);
    const at = base + start;
    for (const change of lineChanges(text.slice(start), formatText(text.slice(start)).trimEnd())) {
      const fits = ({ start: one, end: other }: TextChange) => at + one >= first && at + other <= last;
      const parts = fits(change) ? [change] : lineByLine(text.slice(start), change).filter(fits);
      for (const part of parts) changes.push({ start: at + part.start, end: at + part.end, text: part.text });
    }
  }
  return changes;
}

/** The same for several spans at once. Two that meet in a line are one: no line is changed twice. */
export function formatRanges(file: SourceFile, spans: readonly Span[]): TextChange[] {
  const lines: { start: number; end: number }[] = [];
  for (const { start, end } of spans.toSorted((one, other) => one.start - other.start)) {
    const [first, last] = [lineStart(file.text, start), lineEnd(file.text, end)];
    const before = lines.at(-1);
    if (before === undefined || first > before.end) lines.push({ start: first, end: last });
    else before.end = Math.max(before.end, last);
  }
  return lines.flatMap((span) => formatRange(file, span));
}

/** What typing calls for: behind a line break the line before, behind a brace its own line. */
export function formatOnType(file: SourceFile, offset: number, typed: string): TextChange[] {
  if (typed === '}') return formatRange(file, { start: offset, end: offset });
  const before = lineStart(file.text, offset) - 1;
  if (before < 0) return [];
  const end = file.text[before - 1] === '\r' && file.text[before] === '\n' ? before - 1 : before;
  const start = lineStart(file.text, end);
  // Only what stands in that line: the person is already in the next one.
  return formatRange(file, { start, end }).filter((change) => change.start >= start && change.end <= end);
}

/** A change of several lines as one of each line by itself; blank lines and line breaks stay as they are. */
function lineByLine(text: string, { start, end, text: put }: TextChange): TextChange[] {
  const fresh = linesOf(put).map(bare).filter(hasText);
  const changes: TextChange[] = [];
  let [at, index] = [start, 0];
  for (const line of linesOf(text.slice(start, end))) {
    const before = bare(line);
    if (hasText(before)) changes.push({ start: at, end: at + before.length, text: fresh[index++] ?? '' });
    at += line.length;
  }
  // Where a line was taken apart there is no telling which became which.
  return index === fresh.length ? changes.filter((change) => change.text !== text.slice(change.start, change.end)) : [];
}

const hasText = (line: string): boolean => line.trim() !== '';
const linesOf = (text: string): string[] => text.match(/[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+$/g) ?? [];
const bare = (line: string): string => line.replace(/[\r\n]+$/, '');

function lineEnd(text: string, offset: number): number {
  let at = offset;
  while (at < text.length && text[at] !== '\n' && text[at] !== '\r') at++;
  return at;
}
