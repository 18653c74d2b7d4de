import { sure } from '#grammar/sure.ts';
import { DIMENSIONS, type Dimension, UNITS } from '#grammar/units.ts';
import type { Entry, Kind, Phrase } from '#grammar/words/entry.ts';
import { ACCEPTABLE } from '../../analysis/accept.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import { CHECK_BY_CODE } from '../../checks/registry.ts';
import { currenciesOf } from '../../model/currencies.ts';
import { valueText } from '../cards/word-card.ts';
import { fileIn } from '../file-span.ts';
import type { LineReading, OpenPhrase } from '../read-line.ts';
import { type CompletionContext, contextAt, type InLine, type LineStart } from './context.ts';
import { namesOfKinds } from './names-of-kind.ts';
import { entrySnippet, exampleValue, type NamesOfKind, phraseSnippet, TOP_ENTRIES } from './snippet.ts';

export interface Completion {
  /** What is replaced, in file offsets. */
  readonly start: number;
  readonly end: number;
  /** How far the word goes on behind it, for a person who would have that replaced too; not before `end`. */
  readonly wordEnd: number;
  /** The likeliest first. */
  readonly items: readonly Suggestion[];
}

export interface Suggestion {
  readonly label: string;
  readonly group: 'keyword' | 'phrase' | 'name' | 'unit' | 'choice' | 'value' | 'file';
  /** What the name stands for, for names. */
  readonly kind: Kind | undefined;
  readonly detail: string;
  readonly documentation: string | undefined;
  readonly text: string;
  /** The same with tab stops, for clients that know them. */
  readonly snippet: string | undefined;
  /** Lower comes first. */
  readonly rank: number;
}

/**
 * What may come next at an offset. `afterBlank`: asked because a blank was typed; then only values that are due are
 * offered, so that nothing pops up while a name or a new phrase is being thought of.
 */
export function completeAt(
  analysis: Analysis,
  uri: string,
  offset: number,
  afterBlank = false,
): Completion | undefined {
  const file = fileIn(analysis, uri);
  const context = file === undefined ? undefined : contextAt(file, offset);
  if (file === undefined || context === undefined) return undefined;
  if (afterBlank && !isDue(context)) return undefined;
  const names: NamesOfKind = (kinds) => {
    const found = namesOfKinds(analysis, kinds, '');
    return [...found.filter((name) => !name.used), ...found.filter((name) => name.used)].map((name) => name.text);
  };
  const closing = file.text[offset];
  const bracket = context.typed.includes('[') || context.typed.includes('(');
  const end = bracket && (closing === ']' || closing === ')') ? offset + 1 : offset;
  const items = suggestions(analysis, context, names).sort((a, b) => a.rank - b.rank);
  return { start: context.start, end, wordEnd: Math.max(end, context.wordEnd), items };
}

function isDue(context: CompletionContext): boolean {
  if (context.at === 'line-start') return false;
  return context.at !== 'line' || context.line.open !== undefined || startsWithReference(context);
}

/** Lines like `tap …` and `carries …`, whose first value is a name or a choice. */
function startsWithReference({ line, entry }: InLine): boolean {
  const first = entry.phrases[0];
  return (
    line.given.size === 0 &&
    entry.name === 'none' &&
    first?.word === undefined &&
    first?.value.type !== 'quantity' &&
    first?.value.type !== 'text'
  );
}

function suggestions(analysis: Analysis, context: CompletionContext, names: NamesOfKind): Suggestion[] {
  switch (context.at) {
    case 'line-start':
      return keywords(context, names);
    case 'keyword-rest':
      return context.entries.map((entry) => {
        const [, rest] = entry.word.split(' ');
        return keyword(entry, sure(rest), entrySnippet(entry, names).replace(/^\S+ /, ''), 0);
      });
    case 'unit':
      return units(context.line.open?.phrase, 0);
    case 'line':
      return inLine(analysis, context, names);
  }
}

function keywords({ entries, owner, present, mayDeclare }: LineStart, names: NamesOfKind): Suggestion[] {
  const fresh = entries.filter(
    (entry) => owner === undefined || (owner.repeats ?? []).includes(entry.word) || !present.includes(entry.word),
  );
  const needed = owner?.needs ?? [];
  const here = fresh.map((entry) =>
    keyword(entry, entry.word, entrySnippet(entry, names), needed.includes(entry.word) ? 0 : 1),
  );
  if (owner === undefined || !mayDeclare) return here;
  return [...here, ...TOP_ENTRIES.map((entry) => keyword(entry, entry.word, entrySnippet(entry, names), 2))];
}

function keyword(entry: Entry, word: string, snippet: string, rank: number): Suggestion {
  return {
    label: word,
    group: 'keyword',
    kind: undefined,
    detail: entry.help,
    documentation: entry.example,
    text: word,
    snippet,
    rank,
  };
}

function inLine(analysis: Analysis, { entry, line, typed }: InLine, names: NamesOfKind): Suggestion[] {
  const { open } = line;
  if (!line.hasName && entry.name !== 'none' && isNamePlace(line) && entry.name === 'required') return [];
  if (open?.waits === 'value') return values(analysis, entry, open.phrase, typed, 0);
  return [
    ...(open === undefined ? [] : continuation(analysis, entry, open, typed)),
    ...phrases(analysis, entry, line, typed, names),
  ];
}

/** Nothing but the keyword is there yet. */
function isNamePlace(line: LineReading): boolean {
  return line.parts.every((part) => part.role === 'keyword');
}

/** A unit behind a bare number, `to` inside a range or way, one more of several choices. */
function continuation(analysis: Analysis, entry: Entry, open: OpenPhrase, typed: string): Suggestion[] {
  if (open.waits === 'unit') return units(open.phrase, 0);
  if (open.phrase.value.type === 'choices') return values(analysis, entry, open.phrase, typed, 0);
  const detail = open.phrase.value.type === 'path' ? 'and on to the next place' : 'to the other end of the range';
  return [
    {
      label: 'to',
      group: 'phrase',
      kind: undefined,
      detail,
      documentation: open.phrase.help,
      text: 'to',
      snippet: undefined,
      rank: open.waits === 'to' ? 0 : 2,
    },
  ];
}

/** Phrases that are not there yet: those led by a word, and names, choices and figures that need none. */
function phrases(analysis: Analysis, entry: Entry, line: LineReading, typed: string, names: NamesOfKind): Suggestion[] {
  return entry.phrases.flatMap((phrase): Suggestion[] => {
    if (line.given.has(phrase.key)) return [];
    if (phrase.word === undefined) return isText(phrase) ? [] : values(analysis, entry, phrase, typed, 1);
    return [
      {
        label: phrase.word,
        group: 'phrase',
        kind: undefined,
        detail: valueText(phrase.value),
        documentation: phraseHelp(phrase),
        text: phrase.value.type === 'flag' ? phrase.word : `${phrase.word} `,
        snippet: phraseSnippet(entry, phrase, names),
        rank: phrase.required === true ? 1 : 3,
      },
    ];
  });
}

function phraseHelp(phrase: Phrase): string {
  const standard =
    phrase.standard === undefined ? '' : ` Where it is not said: ${phrase.standard.text} (${phrase.standard.source}).`;
  return phrase.help + standard;
}

/** What a person calls a thing is for nobody to propose. */
function isText(phrase: Phrase): boolean {
  return phrase.value.type === 'text';
}

function values(analysis: Analysis, entry: Entry, phrase: Phrase, typed: string, rank: number): Suggestion[] {
  const { value } = phrase;
  const base = { kind: undefined, documentation: phraseHelp(phrase), snippet: undefined, rank };
  switch (value.type) {
    case 'reference':
    case 'path': {
      const kinds: readonly Kind[] = value.type === 'path' ? ['place'] : value.to;
      return namesOfKinds(analysis, kinds, typed).map((name) => ({
        ...base,
        label: name.text,
        group: 'name' as const,
        kind: name.kind,
        detail: name.detail,
        documentation: undefined,
        text: name.text,
        rank: rank + (name.used ? 0.5 : 0),
      }));
    }
    case 'choice':
    case 'choices':
      return value.of.map((word) => ({
        ...base,
        label: word,
        group: 'choice' as const,
        detail: phrase.help,
        text: word,
      }));
    case 'code':
      return [...ACCEPTABLE].map((code) => ({
        ...base,
        label: code,
        group: 'choice' as const,
        detail: sure(CHECK_BY_CODE.get(code)).title,
        text: code,
        rank: rank + (analysis.findings.some((finding) => finding.code === code) ? 0 : 0.5),
      }));
    case 'currency': {
      const known = currenciesOf(analysis.plan);
      return (known.length > 0 ? known : [exampleValue(entry, phrase)]).map((word) => ({
        ...base,
        label: word,
        group: 'choice' as const,
        detail: phrase.help,
        text: word,
      }));
    }
    case 'text': {
      const example = exampleValue(entry, phrase);
      return [{ ...base, label: `"${example}"`, group: 'value', detail: 'for example', text: `"${example}"` }];
    }
    default: {
      const example = exampleValue(entry, phrase);
      return [{ ...base, label: example, group: 'value', detail: 'for example', text: example }];
    }
  }
}

function units(phrase: Phrase | undefined, rank: number): Suggestion[] {
  const value = phrase?.value;
  const due: readonly Dimension[] = value?.type === 'quantity' ? value.of : value?.type === 'range' ? [value.of] : [];
  return [...UNITS]
    .filter(([, unit]) => due.includes(unit.dimension))
    .map(([name, unit], index) => ({
      label: name,
      group: 'unit' as const,
      kind: undefined,
      detail: DIMENSIONS[unit.dimension].name,
      documentation: phrase?.help,
      text: name,
      snippet: undefined,
      rank:
        rank + due.indexOf(unit.dimension) / 1000 + (DIMENSIONS[unit.dimension].unit === name ? 0 : (index + 1) / 100),
    }));
}
