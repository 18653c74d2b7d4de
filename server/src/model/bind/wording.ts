import { sure } from '#grammar/sure.ts';
import type { Phrase } from '#grammar/words/entry.ts';

/** Words of the vocabulary as parts of a message. */

export function firstLine(text: string): string {
  return sure(text.split('\n')[0]).replace(/\s*\{$/, '');
}

/** What a phrase asks for, as the middle of a sentence: "how many pixels". */
export function askedFor(phrase: Phrase): string {
  return lowerFirst(sure(phrase.help.split(/[.:](?:\s|$)/)[0]));
}

export function lowerFirst(text: string): string {
  return /^[A-Z][a-z ]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
