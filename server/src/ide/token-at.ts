import type { Item, Span, Statement, Step } from '#grammar/ast.ts';
import type { Declaration, SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import type { Origin } from '../model/finding.ts';

/**
 * What stands at an offset of a file. Every feature asks here, so that all of them agree about edges: an offset between
 * two characters belongs to what starts there, else to what ends there. A step's dot and opening bracket belong to the
 * name before them, since nobody means a dot.
 */
export interface Token {
  readonly file: SourceFile;
  readonly declaration: Declaration;
  /** Offset of the declaration in the file. */
  readonly base: number;
  /** The statements around the token, outermost first. */
  readonly path: readonly Statement[];
  readonly item: Item;
  /** Position of the item on its line. */
  readonly index: number;
  /** The step of a word that the offset is on, if it is not on the word itself. */
  readonly step: Step | undefined;
  /** Span of the word, step name, number or text; relative to the declaration. */
  readonly span: Span;
}

export function tokenAt(file: SourceFile, offset: number): Token | undefined {
  const declaration = declarationAt(file, offset);
  const base = file.offsets.of(declaration);
  return findToken(file, declaration, base, offset) ?? tokenBefore(file, declaration, base, offset);
}

function findToken(file: SourceFile, declaration: Declaration, base: number, offset: number): Token | undefined {
  const at = offset - base;
  const path = statementsAt(declaration.statements, at);
  const items = path.at(-1)?.items ?? [];
  let ends: Token | undefined;
  for (const [index, item] of items.entries()) {
    if (item.span.end < at) continue;
    if (item.span.start > at) break;
    for (const { span, step } of piecesOf(item)) {
      const token = { file, declaration, base, path, item, index, step, span };
      if (span.start <= at && at < span.end) return token;
      if (span.end === at) ends = token;
      if (span.start > at && ends === undefined) ends = token;
    }
  }
  return ends;
}

/** At the end of a file or declaration the text before the offset may belong to the declaration before. */
function tokenBefore(file: SourceFile, declaration: Declaration, base: number, offset: number): Token | undefined {
  if (offset !== base || base === 0) return undefined;
  const index = file.declarations.indexOf(declaration);
  const before = file.declarations[index - 1];
  return before === undefined ? undefined : findToken(file, before, file.offsets.of(before), offset);
}

/** The declaration that an offset lies in; where one ends the next one starts. */
export function declarationAt(file: SourceFile, offset: number): Declaration {
  const { declarations, offsets } = file;
  let low = 0;
  let high = declarations.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (offsets.of(sure(declarations[middle])) <= offset) low = middle;
    else high = middle - 1;
  }
  return sure(declarations[low]);
}

/** The nested statements whose text an offset touches, outermost first. Offsets are relative to the declaration. */
export function statementsAt(statements: readonly Statement[], at: number): Statement[] {
  let found: Statement | undefined;
  for (const statement of statements) {
    if (statement.span.start > at) break;
    if (statement.span.end >= at) found = statement;
  }
  if (found === undefined) return [];
  const { block } = found;
  const inner = block !== undefined && block.span.start < at ? statementsAt(block.statements, at) : [];
  return [found, ...inner];
}

/** The parts of an item that can be pointed at: the word and each of its steps, or the whole item. */
function piecesOf(item: Item): { readonly span: Span; readonly step: Step | undefined }[] {
  if (item.kind !== 'word') return [{ span: item.span, step: undefined }];
  const pieces: { span: Span; step: Step | undefined }[] = [{ span: item.nameSpan, step: undefined }];
  for (const step of item.steps) {
    const end = step.kind === 'member' ? step.span.end : Math.max(step.span.start + 1, step.span.end);
    pieces.push({ span: { start: step.span.start + 1, end }, step });
  }
  return pieces;
}

export function originOfToken(token: Token): Origin {
  return { uri: token.file.uri, declaration: token.declaration, start: token.span.start, end: token.span.end };
}
