import type { Item, Word } from '#grammar/ast.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry, Kind, Phrase } from '#grammar/words/entry.ts';
import { closest } from '../spelling.ts';

/** What a word that has no place on its line was most likely meant for. */
export interface Meant {
  readonly phrase: Phrase & { readonly word: string };
  /** The leading word is misspelt, is one of other lines, or is left out. */
  readonly how: 'misspelt' | 'other-word' | 'left-out';
}

/**
 * The phrase that a word leads or is the value of, if only one thing can be meant. `open` are the phrases of the line
 * that stand nowhere on it yet; `fits` tells whether an item may be the value of a phrase.
 */
export function phraseMeant(
  word: Word,
  next: Item | undefined,
  open: readonly Phrase[],
  fits: (phrase: Phrase, item: Item) => boolean,
): Meant | undefined {
  const led = open.filter((phrase): phrase is Meant['phrase'] => phrase.word !== undefined);
  const isFollowed = (phrase: Phrase) => phrase.value.type === 'flag' || (next !== undefined && fits(phrase, next));
  if (word.steps.length === 0) {
    const near = closest(
      word.text,
      led.map((phrase) => phrase.word),
    );
    const misspelt = led.find((phrase) => phrase.word === near && isFollowed(phrase));
    if (misspelt !== undefined) return { phrase: misspelt, how: 'misspelt' };
    const due = led.find((phrase) => phrase.required === true && isFollowed(phrase) && fitsKind(phrase, next));
    if (due !== undefined && LEADS.has(word.text)) return { phrase: due, how: 'other-word' };
  }
  const isDue = (phrase: Phrase) => phrase.required === true || phrase.word === 'of' || word.steps.length > 0;
  const named = led.find((phrase) => isDue(phrase) && fitsKind(phrase, word));
  return named === undefined ? undefined : { phrase: named, how: 'left-out' };
}

/** May the item be a name that such a phrase wants? Ports and outputs have a number behind a dot, parts have none. */
function fitsKind({ value }: Phrase, item: Item | undefined): boolean {
  if (value.type !== 'reference' || item?.kind !== 'word' || !mayName(item) || LEADS.has(item.text)) return false;
  return item.steps.length === 0 || value.to.some((kind) => NUMBERED.has(kind));
}

/** Can the word be a name? The sign of a currency is a word of its own, but names nothing. */
export function mayName({ text }: Word): boolean {
  return /^[\p{L}_]/u.test(text);
}

const NUMBERED: ReadonlySet<Kind> = new Set<Kind>(['output', 'port', 'tap']);

/** All words that lead a phrase somewhere. */
const LEADS: ReadonlySet<string> = new Set(allEntries(STATEMENTS).flatMap(({ phrases }) => phrases.flatMap(wordOf)));

function allEntries(entries: readonly Entry[]): Entry[] {
  return entries.flatMap((entry) => [entry, ...allEntries(entry.block ?? [])]);
}

function wordOf({ word }: Phrase): string[] {
  return word === undefined ? [] : [word];
}
