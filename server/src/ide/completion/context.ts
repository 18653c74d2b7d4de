import type { Block, Item, Statement } from '#grammar/ast.ts';
import { lineStart } from '#grammar/line-start.ts';
import type { SourceFile } from '#grammar/source.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { entryOf, type LineReading, readLine } from '../read-line.ts';
import { declarationAt } from '../token-at.ts';

/** Where a person is typing: in which block, behind which words of a line, and what of a word is there already. */
export type CompletionContext = LineStart | KeywordRest | InLine | UnitWanted;

interface Typed {
  /** The part of a word in front of the cursor, in file offsets; replaced by what is chosen. */
  readonly start: number;
  readonly end: number;
  /** Where the word ends that the cursor stands in, for who would have all of it replaced. */
  readonly wordEnd: number;
  readonly typed: string;
}

/** Nothing but a beginning of the first word: keywords are due. */
export interface LineStart extends Typed {
  readonly at: 'line-start';
  readonly entries: readonly Entry[];
  /** The block that the line stands in, and the statement that owns it. */
  readonly owner: Entry | undefined;
  readonly present: readonly string[];
  /** The block is not closed, so a declaration may begin here as well. */
  readonly mayDeclare: boolean;
}

export interface InLine extends Typed {
  readonly at: 'line';
  readonly entry: Entry;
  readonly line: LineReading;
}

/** Behind `part`: the second word of a keyword. */
export interface KeywordRest extends Typed {
  readonly at: 'keyword-rest';
  readonly entries: readonly Entry[];
}

/** A unit is being typed behind a number. */
export interface UnitWanted extends Typed {
  readonly at: 'unit';
  readonly line: LineReading;
}

/** Undefined inside comments and quoted texts, behind a complete block, and on lines whose keyword is unknown. */
export function contextAt(file: SourceFile, offset: number): CompletionContext | undefined {
  const declaration = declarationAt(file, offset);
  const base = file.offsets.of(declaration);
  const at = offset - base;
  const { text } = declaration;
  const start = lineStart(text, at);
  if (inComment(text.slice(start, at))) return undefined;
  const place = placeAt(declaration.statements, at);
  const statement = place.statements.find(({ span }) => span.start >= start && span.start < at);
  const items = statement?.items ?? [];
  const partial = items.find(({ span }) => span.start < at && at <= span.end);
  if (
    partial?.kind === 'text' &&
    at > partial.span.start &&
    (at < partial.span.end || !/"$/.test(text.slice(partial.span.start + 1, at)))
  )
    return undefined;
  const before = items.filter(({ span }) => span.end < at || (span.end === at && !touches(partial)));
  const wordStart = touches(partial) && partial !== undefined ? partial.span.start : at;
  const wordEnd =
    offset + (touches(partial) && partial !== undefined ? restLength(text.slice(at, partial.span.end)) : 0);
  const typed = { start: base + wordStart, end: offset, wordEnd, typed: text.slice(wordStart, at) };
  const behind = before.filter((item) => item !== partial);
  if (behind.length === 0) {
    if (partial !== undefined && partial.kind !== 'word') return undefined;
    return {
      at: 'line-start',
      ...typed,
      ...place,
      present: place.statements.flatMap((line) => (line === statement ? [] : firstWord(line))),
    };
  }
  return contextInLine(text, base, at, place.entries, behind, partial, typed);
}

function contextInLine(
  text: string,
  base: number,
  at: number,
  entries: readonly Entry[],
  behind: readonly Item[],
  partial: Item | undefined,
  typed: Typed,
): CompletionContext | undefined {
  const entry = entryOf({ items: behind }, entries);
  const first = behind[0];
  if (entry === undefined) {
    const half =
      behind.length === 1 && first?.kind === 'word'
        ? entries.filter((candidate) => candidate.word.startsWith(`${first.text} `))
        : [];
    return half.length === 0 ? undefined : { at: 'keyword-rest', ...typed, entries: half };
  }
  if (partial?.kind === 'quantity') {
    const unit = /^-?[\d.,]+\s*(?:ft\s*[\d.]+\s*)?(\D*)$/.exec(
      text.slice(partial.span.start, at).replace(/\s+/g, ' '),
    )?.[1];
    if (unit === undefined || /[\d.,]$/.test(text.slice(0, at))) return undefined;
    return {
      at: 'unit',
      line: readLine([...behind, bare(partial)], entry),
      ...typed,
      start: base + at - unit.length,
      typed: unit,
    };
  }
  return { at: 'line', ...typed, entry, line: readLine(behind, entry) };
}

/** The number without the unit that is still being typed. */
function bare(item: Item & { kind: 'quantity' }): Item {
  return { ...item, terms: item.terms.map((term) => ({ ...term, unit: undefined })) };
}

interface Place {
  readonly entries: readonly Entry[];
  readonly owner: Entry | undefined;
  readonly statements: readonly Statement[];
  readonly mayDeclare: boolean;
}

/** The innermost block around an offset. A block that is not closed goes on to the end of its declaration. */
function placeAt(statements: readonly Statement[], at: number): Place {
  let place: Place = { entries: STATEMENTS, owner: undefined, statements, mayDeclare: true };
  for (;;) {
    const around = place.statements.findLast(({ block }) => block !== undefined && isInside(block, at));
    const entry = around === undefined ? undefined : entryOf(around, place.entries);
    if (around?.block === undefined || entry === undefined) return place;
    place = {
      entries: entry.block ?? [],
      owner: entry,
      statements: around.block.statements,
      mayDeclare: !around.block.closed,
    };
  }
}

function isInside({ span, closed }: Block, at: number): boolean {
  return at > span.start && (!closed || at < span.end);
}

/** Words can be continued; numbers and texts are complete where the cursor stands behind them. */
function touches(partial: Item | undefined): boolean {
  return partial?.kind === 'word' || partial?.kind === 'quantity' || partial?.kind === 'stray';
}

/** What is left of a word; one whose bracket is open may go on behind a blank. */
function restLength(rest: string): number {
  return rest.search(/[\s"#{}]|$/);
}

function firstWord({ items }: Statement): string[] {
  return items[0]?.kind === 'word' ? [items[0].text] : [];
}

function inComment(line: string): boolean {
  return line
    .replace(/"[^"]*"/g, '')
    .replace(/"[^"]*$/, '')
    .includes('#');
}
