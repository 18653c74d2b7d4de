import type { Span } from '#grammar/ast.ts';
import type { SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import { entryOfPath, type LinePart, readLine } from './read-line.ts';
import { declarationAt, statementsAt, tokenAt } from './token-at.ts';

/** What growing a selection from an offset takes in step by step: word, phrase, line, statement, block, file. Innermost first. */
export function selectionsAt(file: SourceFile, offset: number): Span[] {
  const spans: Span[] = [];
  const add = (start: number, end: number) => {
    const inner = spans.at(-1);
    if (start > offset || end < offset || end <= start) return;
    if (inner !== undefined && (start > inner.start || end < inner.end || (start === inner.start && end === inner.end)))
      return;
    spans.push({ start, end });
  };
  const declaration = declarationAt(file, offset);
  const token = tokenAt(file, offset);
  if (token !== undefined) {
    add(token.base + token.span.start, token.base + token.span.end);
    add(token.base + token.item.span.start, token.base + token.item.span.end);
    const phrase = phraseSpan(token.path, token.index);
    if (phrase !== undefined) add(token.base + phrase.start, token.base + phrase.end);
  }
  const base = file.offsets.of(declaration);
  for (const { items, block, span } of statementsAt(declaration.statements, offset - base).reverse()) {
    if (block !== undefined) add(base + block.span.start + 1, base + block.span.end - (block.closed ? 1 : 0));
    if (block !== undefined) add(base + block.span.start, base + block.span.end);
    add(base + span.start, base + sure(items.at(-1)).span.end);
    add(base + span.start, base + span.end);
  }
  add(base, base + declaration.text.trimEnd().length);
  add(0, file.text.length);
  return spans;
}

/** The word that leads a phrase together with its value. */
function phraseSpan(path: Parameters<typeof entryOfPath>[0], index: number): Span | undefined {
  const entry = entryOfPath(path);
  if (entry === undefined) return undefined;
  const { parts } = readLine(sure(path.at(-1)).items, entry);
  const own = parts[index]?.phrase;
  if (own === undefined) return undefined;
  const same = parts.filter((part: LinePart) => part.phrase === own);
  return { start: sure(same[0]).item.span.start, end: sure(same.at(-1)).item.span.end };
}
