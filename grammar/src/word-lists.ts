import { STATEMENTS } from './vocabulary.ts';
import type { Entry } from './words/entry.ts';

/** Words of the vocabulary by what they do in a line, as grammars of editors need them to colour a text. */

export const TOP_LINES: readonly Entry[] = STATEMENTS;

export const BLOCK_LINES: readonly Entry[] = TOP_LINES.flatMap((entry) => entry.block ?? []);

/** Words that lead a phrase, or that are one. */
export function phraseWords(): string[] {
  const words = [...TOP_LINES, ...BLOCK_LINES].flatMap((entry) =>
    entry.phrases.flatMap((phrase) => (phrase.word === undefined ? [] : [phrase.word])),
  );
  return [...new Set([...words, 'to'])];
}

/** For a regular expression. Longest first, so that "outputs" is not taken for "output". */
export function alternatives(words: Iterable<string>): string {
  return [...new Set(words)].sort((a, b) => b.length - a.length || (a < b ? -1 : 1)).join('|');
}
