import { DIMENSIONS } from '#grammar/units.ts';
import type { Entry, Kind, Phrase, Value } from '#grammar/words/entry.ts';
import { type Card, type Fact, fact } from '../card.ts';

/** Help on the words of the language, from the vocabulary. */

export function keywordCard(entry: Entry): Card {
  const phrases = entry.phrases.flatMap((phrase) =>
    fact(phraseHead(phrase), valueText(phrase.value), phraseNote(phrase)),
  );
  const lines = (entry.block ?? []).map((line) => line.word).join(', ');
  return {
    kind: 'keyword',
    name: entry.word,
    description: entry.help,
    facts: [...phrases, ...fact('in its block', lines || undefined, needs(entry))],
    example: entry.example,
  };
}

export function phraseCard(entry: Entry, phrase: Phrase): Card {
  const standard: Fact[] =
    phrase.standard === undefined
      ? []
      : fact('where it is not said', phrase.standard.text, `default, ${phrase.standard.source}`);
  return {
    kind: `${entry.word} …`,
    name: phrase.word ?? phrase.key,
    description: phrase.help,
    facts: [
      ...fact('takes', valueText(phrase.value), phrase.required === true ? 'must be there' : undefined),
      ...standard,
    ],
    example: entry.example.split('\n')[0]?.replace(/\s*\{$/, ''),
  };
}

function needs(entry: Entry): string | undefined {
  return entry.needs === undefined ? undefined : `must be there: ${entry.needs.join(', ')}`;
}

function phraseHead(phrase: Phrase): string {
  return phrase.word === undefined ? `(${phrase.key})` : phrase.word;
}

function phraseNote(phrase: Phrase): string {
  const standard =
    phrase.standard === undefined ? '' : ` Default: ${phrase.standard.text} (${phrase.standard.source}).`;
  return `${phrase.help}${phrase.required === true ? ' Must be there.' : ''}${standard}`;
}

/** What a value may be, in a few words. */
export function valueText(value: Value): string {
  switch (value.type) {
    case 'quantity':
      return value.of
        .map((dimension) => `${DIMENSIONS[dimension].name} (${DIMENSIONS[dimension].example})`)
        .join(' or ');
    case 'whole':
      return `a ${value.fractions ? '' : 'whole '}number from ${value.least} to ${value.most}`;
    case 'range':
      return `a range: ${DIMENSIONS[value.of].example} to …`;
    case 'reference':
      return value.to.map((kind) => KINDS[kind]).join(' or ');
    case 'path':
      return 'a way: place to place';
    case 'choice':
      return `one of ${value.of.join(', ')}`;
    case 'choices':
      return `some of ${value.of.join(', ')}`;
    case 'flag':
      return 'nothing behind it';
    case 'date':
      return 'a day: year-month-day';
    case 'text':
      return 'a text in "quotes"';
    case 'code':
      return 'the code of a finding';
    case 'currency':
      return 'a currency, such as EUR';
  }
}

/** How each kind of name is called to a person. */
export const KINDS: Readonly<Record<Kind, string>> = {
  place: 'a place',
  pixel: 'a pixel part',
  panel: 'a panel part',
  flood: 'a flood part',
  cable: 'a cable part',
  connector: 'a connector part',
  'supply-part': 'a supply part',
  'controller-part': 'a controller part',
  'receiver-part': 'a receiver part',
  circuit: 'a circuit',
  supply: 'a supply',
  board: 'a fused board',
  output: 'an output of a supply or a fused board (psu-a.2)',
  controller: 'a controller or receiver',
  port: 'a port of a controller or receiver (box.1)',
  prop: 'a prop',
  run: 'a run',
  tap: 'a joint of a run (eaves[116], eaves.end)',
  feed: 'a feed',
  bond: 'a bond',
};
