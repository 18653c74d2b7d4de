import type { Item, Statement } from '#grammar/ast.ts';
import { formatText } from '#grammar/format.ts';
import { type Declaration, readSource } from '#grammar/source.ts';
import { LEXER } from '#grammar/tokens.ts';

/** What must hold of any text whatever, before a word of it is understood. Each throws what is amiss. */

/** Tokens, comments and blanks tile the text: nothing is lost, nothing stands twice. */
export function holdTiles(text: string): void {
  const { tokens, groups, errors } = LEXER.tokenize(text);
  if (errors.length > 0) throw new Error(`the lexer refused: ${errors[0]?.message}`);
  const pieces = [...tokens, ...(groups['comments'] ?? [])].sort((a, b) => a.startOffset - b.startOffset);
  let at = 0;
  for (const { startOffset, image } of pieces) {
    if (startOffset < at) throw new Error(`tokens overlap at ${startOffset}`);
    holdBlank(text, at, startOffset);
    if (text.slice(startOffset, startOffset + image.length) !== image)
      throw new Error(`a token differs from the text at ${startOffset}`);
    at = startOffset + image.length;
  }
  holdBlank(text, at, text.length);
}

function holdBlank(text: string, start: number, end: number): void {
  if (/[^ \t\f\v\u00a0\ufeff]/.test(text.slice(start, end)))
    throw new Error(`${JSON.stringify(text.slice(start, end))} at ${start} is in no token`);
}

/** Declarations tile the file, and every node lies inside the one that it belongs to. */
export function holdSpans(text: string): void {
  const file = readSource('', text);
  let at = 0;
  for (const declaration of file.declarations) {
    if (file.offsets.get(declaration) !== at) throw new Error(`a declaration does not start at ${at}`);
    at += declaration.text.length;
    holdDeclaration(declaration);
  }
  if (at !== text.length) throw new Error(`declarations end at ${at} of ${text.length}`);
}

function holdDeclaration({ text, statements, problems }: Declaration): void {
  const whole = { start: 0, end: text.length };
  for (const { span, code } of problems) holdInside(span, whole, code);
  for (const statement of statements) holdStatement(statement, whole);
}

function holdStatement(statement: Statement, outer: { start: number; end: number }): void {
  holdInside(statement.span, outer, 'statement');
  let before = statement.span.start;
  for (const item of statement.items) {
    holdInside(item.span, { start: before, end: statement.span.end }, item.kind);
    holdItem(item);
    before = item.span.end;
  }
  const { block } = statement;
  if (block === undefined) return;
  holdInside(block.span, { start: before, end: statement.span.end }, 'block');
  for (const child of block.statements) holdStatement(child, block.span);
}

function holdItem(item: Item): void {
  const parts = item.kind === 'word' ? [item.nameSpan, ...item.steps.map(({ span }) => span)] : [];
  if (item.kind === 'quantity') parts.push(...item.terms.map(({ span }) => span));
  for (const span of parts) holdInside(span, item.span, `part of ${item.kind}`);
}

function holdInside(inner: { start: number; end: number }, outer: { start: number; end: number }, what: string): void {
  const fits = inner.start >= outer.start && inner.start <= inner.end && inner.end <= outer.end;
  if (!fits) throw new Error(`${what} ${inner.start}–${inner.end} lies outside of ${outer.start}–${outer.end}`);
}

/** Formatting a second time changes nothing, and every comment is still there. Gives the formatted text. */
export function holdFormat(text: string): string {
  const once = formatText(text);
  const twice = formatText(once);
  if (twice !== once) throw new Error(`formatted twice it differs: ${firstDifference(once, twice)}`);
  const [before, after] = [commentsOf(text), commentsOf(once)];
  if (before.join('\n') !== after.join('\n')) throw new Error('formatting loses a comment');
  return once;
}

export function commentsOf(text: string): string[] {
  return (LEXER.tokenize(text).groups['comments'] ?? []).map(({ image }) => image.trimEnd());
}

export function firstDifference(a: string, b: string): string {
  let at = 0;
  while (at < a.length && a[at] === b[at]) at++;
  const from = Math.max(0, at - 30);
  return `${JSON.stringify(a.slice(from, at + 60))} and ${JSON.stringify(b.slice(from, at + 60))}`;
}
