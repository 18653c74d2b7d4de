import type { Statement, SyntaxProblem } from './ast.ts';
import { type Parsed, parse } from './parser.ts';
import { Recent } from './recent.ts';
import { sure } from './sure.ts';
import { TOP_KEYWORDS } from './vocabulary.ts';

/**
 * A file as a row of declarations. A declaration starts at a line whose first word is a declaration keyword, with
 * the comment lines directly above it, and ends where the next one starts; because such a line closes any open
 * block, each declaration can be parsed alone. After an edit only the declarations whose text changed are parsed.
 */
export class Declaration {
  readonly text: string;
  /** Where it stood among the declarations of its file when that was last asked for. */
  place = 0;

  constructor(piece: string) {
    // A text of its own, not a view of the whole file: a declaration that stays must not keep the file as it once was.
    this.text = ` ${piece}`.slice(1);
  }

  /** The declaration itself, then whatever stray lines follow it. Offsets count from the start of `text`. */
  get statements(): readonly Statement[] {
    return this.parsed().statements;
  }

  get problems(): readonly SyntaxProblem[] {
    return this.parsed().problems;
  }

  /** Parsed when it is first looked at. Its tree is kept while it is among those that were looked at last. */
  private parsed(): Parsed {
    return TREES.get(this, () => parse(this.text));
  }
}

/** Up to so many characters of declarations: a thousand lines, or one declaration of any length. */
const TREES = new Recent<Declaration, Parsed>(30_000, (_, { text }) => text.length);

export interface SourceFile {
  readonly uri: string;
  readonly text: string;
  readonly declarations: readonly Declaration[];
  /** Where each declaration starts, in UTF-16 code units. */
  readonly offsets: Offsets;
}

/** Reads a text, taking over from an earlier version of the file all declarations whose text is the same. */
export function readSource(uri: string, text: string, earlier?: SourceFile): SourceFile {
  const old = earlier?.declarations ?? [];
  const { head, tail, from, end } = unchanged(text, earlier);
  const starts = declarationStarts(text, from, end);
  const pieces = starts.map((start, index) => text.slice(start, starts[index + 1] ?? end));
  const middle = pieces.map((piece, index) => {
    // The declarations at both ends of the part that is read anew are most often as they were.
    const kept = index === 0 ? old[head] : index === pieces.length - 1 ? old[old.length - tail - 1] : undefined;
    return kept?.text === piece ? kept : new Declaration(piece);
  });
  // The same declaration must not stand at two places.
  const last = middle.at(-1);
  if (middle.length > 1 && last !== undefined && last === middle[0])
    middle[middle.length - 1] = new Declaration(last.text);
  const declarations = [...old.slice(0, head), ...middle, ...old.slice(old.length - tail)];
  return { uri, text, declarations, offsets: new Offsets(declarations) };
}

/** Where the declarations of one version of a file start. */
export class Offsets {
  private readonly declarations: readonly Declaration[];
  private readonly starts: Int32Array;
  /** By how many places a declaration was found to have moved; its neighbours have moved as far. */
  private moved = 0;

  constructor(declarations: readonly Declaration[]) {
    this.declarations = declarations;
    this.starts = new Int32Array(declarations.length);
    for (let index = 1, at = 0; index < declarations.length; index++) {
      at += lengthOf(declarations[index - 1]);
      this.starts[index] = at;
    }
  }

  /** In UTF-16 code units; undefined for a declaration that is no part of the file. */
  get(declaration: Declaration): number | undefined {
    if (this.declarations[declaration.place] !== declaration) {
      const near = declaration.place + this.moved;
      const place = this.declarations[near] === declaration ? near : this.declarations.indexOf(declaration);
      if (place < 0) return undefined;
      this.moved = place - declaration.place;
      declaration.place = place;
    }
    return this.starts[declaration.place];
  }

  /** The same of a declaration that is known to be part of the file. */
  of(declaration: Declaration): number {
    return sure(this.get(declaration));
  }
}

/**
 * How many declarations at the head and tail of a text are as they were, and the part between that is to be read anew.
 * One more at each side is read with it, since a line put in beside it may take its comments, or give it some. Of
 * that one the line break before it, or the one after it, is as it was too: so its keyword still begins a line of its
 * own, and what lies behind it is none of the edit's business.
 */
function unchanged(text: string, earlier: SourceFile | undefined) {
  const old = earlier?.declarations ?? [];
  const before = earlier?.text ?? '';
  const most = Math.min(text.length, before.length);
  const same = commonLength(most, (from, to) => text.slice(from, to) === before.slice(from, to));
  let [head, from] = [0, 0];
  for (let next = lengthOf(old[0]); head < old.length && from + next < same; next = lengthOf(old[++head])) from += next;
  const [last, lastBefore] = [text.length, before.length];
  const sameEnd = commonLength(
    most - from,
    (far, near) => text.slice(last - near, last - far) === before.slice(lastBefore - near, lastBefore - far),
  );
  let [tail, end] = [0, last];
  while (tail < old.length - head) {
    const length = lengthOf(old[old.length - 1 - tail]);
    if (last - (end - length) >= sameEnd) break;
    end -= length;
    tail++;
  }
  if (head > 0) from -= lengthOf(old[--head]);
  if (tail > 0) end += lengthOf(old[old.length - tail--]);
  return { head, tail, from, end };
}

const lengthOf = (declaration: Declaration | undefined) => declaration?.text.length ?? 0;

/** How much of two texts is the same, at most `most`; by halves, since whole stretches are compared far faster than units. */
function commonLength(most: number, isSame: (from: number, to: number) => boolean): number {
  let [low, high] = [0, most];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (isSame(low, middle)) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Offsets at which declarations start in a part of a text; its own start is always one, so that the pieces tile it. */
function declarationStarts(text: string, from: number, end: number): number[] {
  const starts = [from];
  let commentsFrom = -1;
  for (let at = from; at < end; at = nextLine(text, at)) {
    const first = firstCharacter(text, at);
    if (text[first] === '#') {
      if (commentsFrom < 0) commentsFrom = at;
      continue;
    }
    if (opensDeclaration(text, first)) {
      const start = commentsFrom < 0 ? at : commentsFrom;
      if (start > from) starts.push(start);
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
  while (end < text.length && /[\p{L}\p{M}\p{N}_²+-]/u.test(text.charAt(end))) end++;
  return TOP_KEYWORDS.has(text.slice(at, end));
}
