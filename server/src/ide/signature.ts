import { sure } from '#grammar/sure.ts';
import type { Entry, Phrase } from '#grammar/words/entry.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { KINDS, valueText } from './cards/word-card.ts';
import { contextAt } from './completion/context.ts';
import { fileIn } from './file-span.ts';
import type { LineReading } from './read-line.ts';

/** Which phrases a line takes, and which of them is due. */
export interface Signature {
  /** `feed NAME  from OUTPUT  [to JOINT]  …` */
  readonly label: string;
  readonly help: string;
  readonly parameters: readonly SignatureParameter[];
  /** Index of the parameter being written or due next; undefined where nothing is left. */
  readonly active: number | undefined;
}

export interface SignatureParameter {
  /** Where it stands in the label. */
  readonly start: number;
  readonly end: number;
  readonly help: string;
}

/** The shape of the line at an offset, behind its keyword; undefined elsewhere. */
export function signatureAt(analysis: Analysis, uri: string, offset: number): Signature | undefined {
  const file = fileIn(analysis, uri);
  const context = file === undefined ? undefined : contextAt(file, offset);
  if (context === undefined || context.at === 'line-start' || context.at === 'keyword-rest') return undefined;
  const { entry } = context.line;
  const { label, parameters } = shapeOf(entry);
  return { label, help: entry.help, parameters, active: activeIn(entry, context.line) };
}

function shapeOf(entry: Entry): Pick<Signature, 'label' | 'parameters'> {
  let label = entry.word;
  const parameters: SignatureParameter[] = [];
  const add = (text: string, help: string) => {
    label += label === entry.word ? ' ' : '  ';
    parameters.push({ start: label.length, end: label.length + text.length, help });
    label += text;
  };
  if (entry.name !== 'none') add(entry.name === 'required' ? 'NAME' : '[NAME]', 'What other lines call it by.');
  for (const phrase of entry.phrases) {
    const text = phraseText(phrase);
    add(phrase.required === true ? text : `[${text}]`, phraseHelp(phrase));
  }
  return { label, parameters };
}

function phraseText({ word, value, key }: Phrase): string {
  if (value.type === 'flag') return sure(word);
  return word === undefined ? placeholder(value, key) : `${word} ${placeholder(value, key)}`;
}

/** What stands for a value: words to choose from as they are, else what is meant, in capitals. */
function placeholder(value: Phrase['value'], key: string): string {
  if (value.type === 'choice' && value.of.length <= MOST_CHOICES) return value.of.join('|');
  if (value.type === 'text') return `"${key.toUpperCase()}"`;
  if (value.type === 'path') return 'PLACE to PLACE';
  if (value.type === 'range') return `${key.toUpperCase()} to ${key.toUpperCase()}`;
  if (value.type !== 'reference') return key.toUpperCase();
  const names = value.to.map((kind) => (kind === 'tap' ? 'JOINT' : sure(kind.split('-')[0]).toUpperCase()));
  return [...new Set(names)].join('|');
}

const MOST_CHOICES = 4;

function phraseHelp(phrase: Phrase): string {
  const { value, standard } = phrase;
  const takes = value.type === 'reference' ? value.to.map((kind) => KINDS[kind]).join(' or ') : valueText(value);
  const left = standard === undefined ? '' : ` Where it is not said: ${standard.text} (${standard.source}).`;
  return `${phrase.help} Takes ${takes}.${phrase.required === true ? ' Must be there.' : ''}${left}`;
}

/** What is being written; else the first that must be there and is not; else the first that is not there. */
function activeIn(entry: Entry, line: LineReading): number | undefined {
  const shift = entry.name === 'none' ? 0 : 1;
  const { open } = line;
  if (open !== undefined && open.waits !== 'more') return shift + entry.phrases.indexOf(open.phrase);
  if (entry.name === 'required' && !line.hasName) return 0;
  const missing = entry.phrases.filter((phrase) => !line.given.has(phrase.key));
  const next = missing.find((phrase) => phrase.required === true) ?? missing[0];
  return next === undefined ? undefined : shift + entry.phrases.indexOf(next);
}
