import type { Item, Statement } from '#grammar/ast.ts';
import { parse } from '#grammar/parser.ts';
import { sure } from '#grammar/sure.ts';
import { DIMENSIONS } from '#grammar/units.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry, Kind, Phrase } from '#grammar/words/entry.ts';
import { entryOf, readLine } from '../read-line.ts';

/** Names of the plan that fit a kind, the best first. */
export type NamesOfKind = (kinds: readonly Kind[]) => readonly string[];

const MOST_CHOICES = 20;

/**
 * The example of an entry as a snippet: names, texts and quantities can be tabbed through, references offer names of the
 * plan. With `name`, that is its name, and there is nothing to choose about it.
 */
export function entrySnippet(entry: Entry, names: NamesOfKind, name?: string): string {
  const statement = sure(parse(entry.example).statements[0]);
  return `${new SnippetMaker(entry.example, names).statement(statement, entry, name)}$0`;
}

/** A phrase with its value as a snippet. */
export function phraseSnippet(entry: Entry, phrase: Phrase, names: NamesOfKind): string {
  const word = phrase.word ?? '';
  if (phrase.value.type === 'flag') return word;
  const value = placeholder(
    1,
    exampleValue(entry, phrase),
    phrase.value.type === 'reference' ? names(phrase.value.to) : [],
  );
  return `${word} ${phrase.value.type === 'text' ? `"${value}"` : value}`.trim();
}

/** A value as the vocabulary's own example gives it, without quotes. */
export function exampleValue(entry: Entry, phrase: Phrase): string {
  const statement = sure(parse(entry.example).statements[0]);
  const items = readLine(statement.items, entry)
    .parts.filter((part) => part.phrase?.key === phrase.key && part.role !== 'lead')
    .map((part) => part.item);
  const [first, last] = [items[0], items.at(-1)];
  if (first !== undefined && last !== undefined)
    return entry.example.slice(first.span.start, last.span.end).replaceAll('"', '');
  const { value } = phrase;
  if (value.type === 'quantity') return DIMENSIONS[sure(value.of[0])].example;
  if (value.type === 'range') return `${DIMENSIONS[value.of].example} to ${DIMENSIONS[value.of].example}`;
  if (value.type === 'whole') return String(Math.max(value.least, Math.min(2, value.most)));
  if (value.type === 'choice' || value.type === 'choices') return sure(value.of[0]);
  return phrase.key;
}

class SnippetMaker {
  private readonly text: string;
  private readonly names: NamesOfKind;
  private stop = 0;

  constructor(text: string, names: NamesOfKind) {
    this.text = text;
    this.names = names;
  }

  statement(statement: Statement, entry: Entry, name?: string): string {
    let at = statement.span.start;
    let result = '';
    const put = (end: number, text: string, start: number) => {
      result += escapeSnippet(this.text.slice(at, start)) + text;
      at = end;
    };
    for (const part of readLine(statement.items, entry).parts) {
      const { span } = part.item;
      if (part.role === 'keyword' || part.role === 'lead' || part.role === 'joiner') continue;
      const isName = part.role === 'name' && name !== undefined;
      put(span.end, isName ? escapeSnippet(name) : this.value(part.item, part.phrase), span.start);
    }
    for (const child of statement.block?.statements ?? []) {
      const inner = sure(entryOf(child, sure(entry.block)));
      put(child.span.end, this.statement(child, inner), child.span.start);
    }
    return result + escapeSnippet(this.text.slice(at, statement.span.end));
  }

  private value(item: Item, phrase: Phrase | undefined): string {
    const text = this.text.slice(item.span.start, item.span.end);
    this.stop++;
    if (item.kind === 'text') return `"${placeholder(this.stop, item.value, [])}"`;
    if (phrase?.value.type === 'reference') return placeholder(this.stop, text, this.names(phrase.value.to));
    if (phrase?.value.type === 'path') return placeholder(this.stop, text, this.names(['place']));
    return placeholder(this.stop, text, []);
  }
}

/** A tab stop: a choice where there are names to choose from, else the example. */
function placeholder(stop: number, example: string, names: readonly string[]): string {
  if (names.length > 1) return `\${${stop}|${names.slice(0, MOST_CHOICES).map(escapeChoice).join(',')}|}`;
  return `\${${stop}:${escapeSnippet(names[0] ?? example)}}`;
}

function escapeSnippet(text: string): string {
  return text.replace(/[\\$}]/g, '\\$&');
}

function escapeChoice(text: string): string {
  return text.replace(/[\\$},|]/g, '\\$&');
}

/** Entries that may stand at the top of a file. */
export const TOP_ENTRIES: readonly Entry[] = STATEMENTS;
