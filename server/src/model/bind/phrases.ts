import type { Item, Quantity, Word } from '#grammar/ast.ts';
import { sure } from '#grammar/sure.ts';
import { type Dimension, toSi } from '#grammar/units.ts';
import type { Phrase, Value } from '#grammar/words/entry.ts';
import { closest } from '../spelling.ts';
import { withArticle } from '../texts.ts';
import type { LineBinding } from './line.ts';
import { type Meant, mayName, phraseMeant } from './meant.ts';
import { measure, readValue } from './values.ts';
import { capital, firstLine, lowerFirst } from './wording.ts';

/** The name that follows the first word of the line, where its entry has one. */
export function readName(line: LineBinding): void {
  if (line.entry.name === 'none') return;
  const item = line.items[line.at];
  if (item?.kind === 'word' && mayName(item) && (!leads(line, item) || reportLeadAsName(line, item))) {
    line.name = { text: item.text, origin: line.origin(item.nameSpan) };
    if (item.steps.length > 0) {
      line.report(item.span, {
        code: 'unexpected-word',
        message: `${capital(withArticle(line.entry.word))} is named with a plain word, without dots or brackets.`,
      });
    }
    line.at++;
  } else if (line.entry.name === 'required') {
    if (item?.kind === 'quantity' && item.terms.length === 1 && item.terms[0]?.unit === undefined) {
      line.at++;
      return line.report(item.span, {
        code: 'missing-name',
        message: `A name starts with a letter, so ${line.textOf(item.span)} cannot be one. For example: ${firstLine(line.entry.example)}`,
      });
    }
    line.report(line.keyword, {
      code: 'missing-name',
      message: `This ${line.entry.word} has no name. Write one after "${line.entry.word}", for example: ${firstLine(line.entry.example)}`,
    });
  }
}

function leads(line: LineBinding, item: Item | undefined): boolean {
  return item?.kind === 'word' && line.entry.phrases.some(({ word }) => word !== undefined && word === item.text);
}

/** "feed x from psu.1": where the next phrase begins right behind a word of the line, the word was meant as the name. */
function reportLeadAsName(line: LineBinding, item: Word): boolean {
  if (!leads(line, line.items[line.at + 1])) return false;
  line.report(item.span, {
    code: 'missing-name',
    message: `"${item.text}" is a word of every ${line.entry.word} line, so it cannot be a name there. Choose another one.`,
  });
  return true;
}

/** The phrase that comes next, or a report of what has no place. */
export function readPhrase(line: LineBinding): void {
  const item = sure(line.items[line.at]);
  if (item.kind === 'stray') {
    line.at++;
    return;
  }
  if (item.kind === 'word') {
    const led = ledBy(line, item);
    if (led !== undefined) {
      line.at++;
      readValue(line, led, item);
      return;
    }
  }
  const positional = line.entry.phrases.find(
    (phrase) => phrase.word === undefined && line.fields[phrase.key] === undefined && fits(phrase.value, item),
  );
  if (positional !== undefined) return readValue(line, positional, undefined);
  const meant = item.kind === 'word' ? meantBy(line, item) : undefined;
  if (item.kind === 'word' && meant !== undefined) readMeant(line, item, meant);
  else reportUnexpected(line, item);
}

function meantBy(line: LineBinding, item: Word): Meant | undefined {
  const comesLater = (word = '') => (line.lastPlaces.get(word) ?? -1) > line.at;
  const open = line.entry.phrases.filter(({ key, word }) => !line.said.has(key) && !comesLater(word));
  return phraseMeant(item, line.items[line.at + 1], open, (phrase, other) => fits(phrase.value, other));
}

/** What is meant is plain, so it is reported once and read as it was meant. */
function readMeant(line: LineBinding, item: Word, { phrase, how }: Meant): void {
  const span = how === 'left-out' ? { start: item.span.start, end: item.span.start } : item.span;
  const message = {
    misspelt: `"${item.text}" has no place on ${withArticle(line.entry.word)} line. Did you mean "${phrase.word}"?`,
    'other-word': `"${item.text}" has no place on ${withArticle(line.entry.word)} line. "${phrase.word}" leads here to ${lowerFirst(phrase.help)}`,
    'left-out': `"${phrase.word}" is missing before ${line.textOf(item.span)}. ${phrase.help}`,
  }[how];
  line.report(item.span, {
    code: how === 'left-out' ? 'missing-phrase' : 'unexpected-word',
    message,
    fixes: [line.replacement(span, phrase.word)],
  });
  if (how !== 'left-out') line.at++;
  readValue(line, phrase, how === 'left-out' ? undefined : item);
}

/** The phrase that a word leads. One word may lead two phrases, `at least` and `at 50 %`: what follows tells. */
function ledBy(line: LineBinding, word: Word): Phrase | undefined {
  if (word.steps.length > 0) return undefined;
  const led = line.entry.phrases.filter((phrase) => phrase.word === word.text);
  const next = line.items[line.at + 1];
  return led.find((phrase) => next !== undefined && fits(phrase.value, next)) ?? led[0];
}

export function reportMissing(line: LineBinding): void {
  for (const phrase of line.entry.phrases) {
    if (phrase.required !== true || line.fields[phrase.key] !== undefined || line.said.has(phrase.key)) continue;
    const what =
      phrase.word === undefined
        ? lowerFirst(phrase.help).replace(/\.$/, '')
        : `"${phrase.word} …": ${lowerFirst(phrase.help).replace(/\.$/, '')}`;
    line.report(line.keyword, {
      code: 'missing-phrase',
      message: `This ${line.entry.word} still needs ${what}. For example: ${firstLine(line.entry.example)}`,
    });
  }
}

function reportUnexpected(line: LineBinding, item: Item): void {
  line.at++;
  if (item.kind === 'quantity') {
    const open = line.entry.phrases.filter(
      (phrase) =>
        phrase.word === undefined && phrase.value.type === 'quantity' && line.fields[phrase.key] === undefined,
    );
    const value = open[0]?.value;
    if (open[0] !== undefined && value?.type === 'quantity') {
      line.said.add(open[0].key);
      measure(line, item, value.of);
      return;
    }
  }
  const words = line.entry.phrases.flatMap((phrase) => (phrase.word === undefined ? [] : [phrase.word]));
  const text = item.kind === 'text' ? item.value : line.textOf(item.span);
  const near = item.kind === 'word' ? closest(item.text, words) : undefined;
  const may = words.length === 0 ? '' : ` It may have: ${words.join(', ')}.`;
  line.report(item.span, {
    code: 'unexpected-word',
    message:
      near === undefined
        ? `"${text}" has no place on ${withArticle(line.entry.word)} line.${may}`
        : `"${text}" has no place on ${withArticle(line.entry.word)} line. Did you mean "${near}"?`,
    fixes: near === undefined ? [] : [line.replacement(item.span, near)],
  });
}

/** Could this item start a value of that kind? Decides which phrase without a word is meant. */
function fits(value: Value, item: Item): boolean {
  switch (value.type) {
    case 'quantity':
      return item.kind === 'quantity' && value.of.includes(dimensionOf(item) as Dimension);
    case 'whole':
      return item.kind === 'quantity' && item.terms.length === 1 && item.terms[0]?.unit === undefined;
    case 'range':
      return item.kind === 'quantity';
    case 'reference':
    case 'path':
      return item.kind === 'word';
    case 'choice':
    case 'choices':
    case 'code':
    case 'currency':
      return item.kind === 'word';
    case 'text':
    case 'date':
      return item.kind === value.type;
    case 'flag':
      return false;
  }
}

function dimensionOf(item: Quantity): Dimension | undefined {
  return toSi(item.terms)?.dimension;
}
