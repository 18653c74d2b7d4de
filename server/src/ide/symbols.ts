import type { Item, Statement } from '#grammar/ast.ts';
import { exact } from '#grammar/exact.ts';
import type { Declaration, SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { entryOf, readLine } from './read-line.ts';

/** A line of the outline. Offsets are those of the file. */
export interface OutlineSymbol {
  readonly name: string;
  /** What stands beside the name in the outline. */
  readonly detail: string;
  /** The keyword that the statement starts with. */
  readonly keyword: string;
  /** Whether other lines can refer to it by a name of its own. */
  readonly named: boolean;
  readonly start: number;
  readonly end: number;
  readonly nameStart: number;
  readonly nameEnd: number;
  readonly children: readonly OutlineSymbol[];
}

/** The outline of a file. It is made from the words alone, so a broken line takes nothing from the others. */
export function outlineOf(file: SourceFile): OutlineSymbol[] {
  return outlineInPieces(file).map((make) => make());
}

/** The same, each line of its top made when it is asked for: the outline of a large plan need not stand as a whole. */
export function outlineInPieces(file: SourceFile): (() => OutlineSymbol)[] {
  return file.declarations.flatMap((declaration) => {
    const base = file.offsets.of(declaration);
    return rowsOf(declaration).map((row) => () => symbolAt(declaration.text, row, base));
  });
}

/** What is kept of a line: offsets from the start of its declaration, from whose text the rest is cut when asked for. */
interface Row {
  readonly entry: Entry;
  /** Absent where the keyword stands for it. */
  readonly name: string | undefined;
  readonly named: boolean;
  readonly start: number;
  readonly end: number;
  readonly nameStart: number;
  readonly nameEnd: number;
  /** What stands beside the name; empty where nothing does. */
  readonly restStart: number;
  readonly restEnd: number;
  readonly children: readonly Row[];
}

/** An edit changes the outline of what it touches. */
const kept = new WeakMap<Declaration, readonly Row[]>();

function rowsOf(declaration: Declaration): readonly Row[] {
  let rows = kept.get(declaration);
  if (rows === undefined) {
    rows = outline(declaration.statements, STATEMENTS);
    kept.set(declaration, rows);
  }
  return rows;
}

function symbolAt(text: string, row: Row, base: number): OutlineSymbol {
  const { entry, name, named, restStart, restEnd } = row;
  const rest = restStart < restEnd ? sliced(text.slice(restStart, restEnd)) : '';
  return {
    name: name ?? entry.word,
    detail: [name === undefined ? '' : entry.word, rest].filter((part) => part !== '').join('  '),
    keyword: entry.word,
    named,
    start: base + row.start,
    end: base + row.end,
    nameStart: base + row.nameStart,
    nameEnd: base + row.nameEnd,
    children: row.children.map((child) => symbolAt(text, child, base)),
  };
}

function outline(statements: readonly Statement[], entries: readonly Entry[]): readonly Row[] {
  return exact(
    statements.flatMap((statement): Row[] => {
      const entry = entryOf(statement, entries);
      return entry === undefined ? [] : [rowOf(statement, entry)];
    }),
  );
}

function rowOf(statement: Statement, entry: Entry): Row {
  const { parts } = readLine(statement.items, entry);
  const name = parts.find((part) => part.role === 'name')?.item;
  const values = parts.filter((part) => part.role !== 'keyword' && part.role !== 'name').map((part) => part.item);
  const title = name ?? titleOf(values) ?? sure(statement.items[0]);
  const { span } = title;
  const shown =
    name?.kind === 'word' ? name.text : title.kind === 'text' && title.value.trim() !== '' ? title.value : undefined;
  const rest = values.filter((item) => item !== title);
  return {
    entry,
    name: shown,
    named: name !== undefined,
    start: statement.span.start,
    end: statement.span.end,
    nameStart: span.start,
    nameEnd: span.end,
    restStart: rest[0]?.span.start ?? 0,
    restEnd: rest.at(-1)?.span.end ?? 0,
    children: outline(statement.block?.statements ?? [], entry.block ?? []),
  };
}

/** Statements without a name are called by their text: the title of the plan, the path of a file. */
function titleOf(values: readonly Item[]): Item | undefined {
  return values.find((item) => item.kind === 'text');
}

/** On one line and not too long. */
function sliced(text: string): string {
  const line = text.replace(/\s+/g, ' ');
  return line.length > 80 ? `${line.slice(0, 79)}…` : line;
}

/** A symbol found in some file, for searching across files. */
export interface FoundSymbol {
  readonly symbol: OutlineSymbol;
  readonly uri: string;
  readonly container: string | undefined;
}

/** Named symbols of some files whose name holds the letters of a query in order; at most `most`. */
export function findSymbols(files: Iterable<SourceFile>, query: string, most = 500): FoundSymbol[] {
  const found: FoundSymbol[] = [];
  const look = (symbols: readonly OutlineSymbol[], uri: string, container: string | undefined) => {
    for (const symbol of symbols) {
      if (found.length >= most) return;
      if (symbol.named && matches(symbol.name, query)) found.push({ symbol, uri, container });
      look(symbol.children, uri, symbol.name);
    }
  };
  for (const file of files) look(outlineOf(file), file.uri, undefined);
  return found;
}

function matches(name: string, query: string): boolean {
  let at = 0;
  const lower = name.toLowerCase();
  for (const letter of query.toLowerCase()) {
    at = lower.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
