import type { Statement, SyntaxProblem } from './ast.ts';
import { parse } from './parser.ts';
import { TOP_KEYWORDS } from './vocabulary.ts';

/**
 * A file as a row of declarations. A declaration starts at a line whose first word is a declaration keyword, with
 * the comment lines directly above it, and ends where the next one starts; because such a line closes any open
 * block, each declaration can be parsed alone. After an edit only the declarations whose text changed are parsed.
 */
export interface Declaration {
  readonly text: string;
  /** The declaration itself, then whatever stray lines follow it. Offsets count from the start of `text`. */
  readonly statements: readonly Statement[];
  readonly problems: readonly SyntaxProblem[];
}

export interface SourceFile {
  readonly uri: string;
  readonly text: string;
  readonly declarations: readonly Declaration[];
  /** Where each declaration starts, in UTF-16 code units. */
  readonly offsets: ReadonlyMap<Declaration, number>;
}

/** Reads a text, taking over from an earlier version of the file all declarations whose text is the same. */
export function readSource(uri: string, text: string, earlier?: SourceFile): SourceFile {
  const starts = declarationStarts(text);
  const pieces = starts.map((start, index) => text.slice(start, starts[index + 1] ?? text.length));
  const old = earlier?.declarations ?? [];
  let head = 0;
  while (head < pieces.length && head < old.length && old[head]?.text === pieces[head]) head++;
  let tail = 0;
  while (
    tail < pieces.length - head &&
    tail < old.length - head &&
    old[old.length - 1 - tail]?.text === pieces[pieces.length - 1 - tail]
  ) {
    tail++;
  }
  const middle = pieces.slice(head, pieces.length - tail).map((piece) => ({ text: piece, ...parse(piece) }));
  const declarations = [...old.slice(0, head), ...middle, ...old.slice(old.length - tail)];
  return {
    uri,
    text,
    declarations,
    offsets: new Map(declarations.map((declaration, index) => [declaration, starts[index] ?? 0])),
  };
}

/** Offsets at which declarations start; the first is always 0, so that the pieces tile the text. */
function declarationStarts(text: string): number[] {
  const starts = [0];
  let commentsFrom = -1;
  for (let at = 0; at < text.length; at = nextLine(text, at)) {
    const first = firstCharacter(text, at);
    if (text[first] === '#') {
      if (commentsFrom < 0) commentsFrom = at;
      continue;
    }
    if (opensDeclaration(text, first)) {
      const start = commentsFrom < 0 ? at : commentsFrom;
      if (start > 0) starts.push(start);
    }
    commentsFrom = -1;
  }
  return starts;
}

function nextLine(text: string, from: number): number {
  for (let at = from; at < text.length; at++) {
    const unit = text.charCodeAt(at);
    if (unit === 10) return at + 1;
    if (unit === 13) return text.charCodeAt(at + 1) === 10 ? at + 2 : at + 1;
  }
  return text.length;
}

function firstCharacter(text: string, from: number): number {
  let at = from;
  while (at < text.length && BLANKS.has(text.charCodeAt(at))) at++;
  return at;
}

/** The same characters as the token `Blank`. */
const BLANKS: ReadonlySet<number> = new Set([0x20, 0x09, 0x0b, 0x0c, 0xa0, 0xfeff]);

function opensDeclaration(text: string, at: number): boolean {
  const unit = text.charCodeAt(at);
  if (!(unit >= 97 && unit <= 122)) return false;
  let end = at;
  while (end < text.length && /[\p{L}\p{M}\p{N}_²+-]/u.test(text[end] ?? '')) end++;
  return TOP_KEYWORDS.has(text.slice(at, end));
}
