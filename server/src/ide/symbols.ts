import type { Item, Statement } from '#grammar/ast.ts';
import type { Declaration, SourceFile } from '#grammar/source.ts';
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
  return file.declarations.flatMap((declaration) => {
    let symbols = kept.get(declaration);
    if (symbols === undefined) {
      symbols = outline(declaration.statements, STATEMENTS, declaration.text);
      kept.set(declaration, symbols);
    }
    const base = file.offsets.of(declaration);
    return symbols.map((symbol) => moved(symbol, base));
  });
}

/** With offsets from the start of the declaration: an edit changes the outline of what it touches. */
const kept = new WeakMap<Declaration, readonly OutlineSymbol[]>();

function moved(symbol: OutlineSymbol, by: number): OutlineSymbol {
  const { start, end, nameStart, nameEnd, children } = symbol;
  return {
    ...symbol,
    start: start + by,
    end: end + by,
    nameStart: nameStart + by,
    nameEnd: nameEnd + by,
    children: children.map((child) => moved(child, by)),
  };
}

function outline(statements: readonly Statement[], entries: readonly Entry[], text: string): OutlineSymbol[] {
  return statements.flatMap((statement): OutlineSymbol[] => {
    const entry = entryOf(statement, entries);
    return entry === undefined ? [] : [symbolOf(statement, entry, text)];
  });
}

function symbolOf(statement: Statement, entry: Entry, text: string): OutlineSymbol {
  const { parts } = readLine(statement.items, entry);
  const name = parts.find((part) => part.role === 'name')?.item;
  const values = parts.filter((part) => part.role !== 'keyword' && part.role !== 'name').map((part) => part.item);
  const title = name ?? titleOf(values) ?? statement.items[0];
  const span = title?.span ?? statement.span;
  const shown =
    name?.kind === 'word'
      ? name.text
      : title !== undefined && title.kind === 'text' && title.value.trim() !== ''
        ? title.value
        : undefined;
  const rest = sliced(
    text,
    values.filter((item) => item !== title),
  );
  return {
    name: shown ?? entry.word,
    detail: [shown === undefined ? '' : entry.word, rest].filter((part) => part !== '').join('  '),
    keyword: entry.word,
    named: name !== undefined,
    start: statement.span.start,
    end: statement.span.end,
    nameStart: span.start,
    nameEnd: span.end,
    children: outline(statement.block?.statements ?? [], entry.block ?? [], text),
  };
}

/** Statements without a name are called by their text: the title of the plan, the path of a file. */
function titleOf(values: readonly Item[]): Item | undefined {
  return values.find((item) => item.kind === 'text');
}

/** The text from the first of some items to the last, on one line and not too long. */
function sliced(text: string, items: readonly Item[]): string {
  const [first, last] = [items[0], items.at(-1)];
  if (first === undefined || last === undefined) return '';
  const line = text.slice(first.span.start, last.span.end).replace(/\s+/g, ' ');
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
