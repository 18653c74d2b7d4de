import { UNITS } from '#grammar/units.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry, Kind, Phrase, Value } from '#grammar/words/entry.ts';
import type { Random } from './random.ts';

/**
 * Plans made from the vocabulary itself: every statement and phrase that the language has or will have, in an order that
 * fits, with values inside their limits, and names that mostly stand for something.
 */
export function generatePlan(random: Random): string {
  const lines = ['plan "Generated" {\n  frame-rate 40 fps\n}'];
  if (random.chance(0.5)) lines.push('use "bench.festoon"');
  const count = 3 + random.below(9);
  for (let made = 0; made < count; made++)
    lines.push(statement(random, random.pick(STATEMENTS as readonly Entry[]), 0));
  return `${lines.join('\n')}\n`;
}

/** One statement with its block. */
export function statement(random: Random, entry: Entry, depth: number): string {
  const indent = '  '.repeat(depth);
  const words = [entry.word];
  if (entry.name === 'required' || (entry.name === 'optional' && random.chance(0.5)))
    words.push(nameOf(random, declaredBy(entry)));
  for (const phrase of entry.phrases) if (phrase.required || random.chance(0.3)) words.push(phraseText(random, phrase));
  const head = `${indent}${words.join(random.chance(0.5) ? ' ' : '  ')}`;
  if (entry.block === undefined) return head;
  const inner = entry.block.filter((line) => entry.needs?.includes(line.word) || random.chance(0.5));
  const repeated = inner.flatMap((line) => (entry.repeats?.includes(line.word) ? [line, line] : [line]));
  if (repeated.length === 0 && random.chance(0.7)) return head;
  return [`${head} {`, ...repeated.map((line) => statement(random, line, depth + 1)), `${indent}}`].join('\n');
}

function phraseText(random: Random, phrase: Phrase): string {
  const value = valueText(random, phrase.value);
  return [phrase.word, value].filter((part) => part !== undefined && part !== '').join(' ');
}

function valueText(random: Random, value: Value): string {
  switch (value.type) {
    case 'quantity':
      return quantityText(random, random.pick(value.of), value.least, value.most);
    case 'whole':
      return String(Math.round(random.magnitude(Math.max(1, value.least), Math.max(1, Math.min(value.most, 40)))));
    case 'range':
      return `${quantityText(random, value.of, value.least, value.most)} to ${quantityText(random, value.of, value.least, value.most)}`;
    case 'reference':
      return referenceText(random, random.pick(value.to));
    case 'path':
      return `${nameOf(random, 'place')} to ${nameOf(random, 'place')}`;
    case 'choice':
      return random.pick(value.of);
    case 'choices':
      return [random.pick(value.of), random.pick(value.of)].join(' ');
    case 'flag':
      return '';
    case 'date':
      return random.pick(['2026-11-20', '2026-12-24', '2028-02-29']);
    case 'text':
      return random.pick(['"Gutter"', '"Left of the door"', '""', '"120 px # 5"']);
    default:
      // A kind of value that is younger than this generator: any word will do for a start.
      return 'something';
  }
}

function quantityText(random: Random, dimension: string, least = 0.001, most = 1000): string {
  const units = [...UNITS].filter(([, unit]) => unit.dimension === dimension);
  const [name, unit] = random.pick(units);
  const low = Math.max(least, 1e-6);
  const si = random.chance(0.05) ? most : random.magnitude(low, Math.max(low, Math.min(most, low * 1e5)));
  const written = (si - (unit.offset ?? 0)) / unit.factor;
  const whole = ['pixels', 'strands', 'cables', 'gauge', 'bits'].includes(dimension);
  return `${whole ? Math.max(1, Math.round(Math.min(written, 60))) : Number(written.toPrecision(3)).toFixed(3)} ${name}`;
}

/** What the parts on the bench are called, so that generated plans carry current. */
const BENCH_NAMES: Partial<Record<Kind, readonly string[]>> = {
  pixel: ['steady-12', 'steady-5'],
  cable: ['feed-14', 'lead-18', 'data-18'],
  'supply-part': ['bench-12', 'bench-5'],
  'controller-part': ['board', 'data-board'],
};

function referenceText(random: Random, kind: Kind): string {
  const name = nameOf(random, kind);
  switch (kind) {
    case 'output':
      return `${nameOf(random, 'supply')}.${1 + random.below(4)}`;
    case 'port':
      return `${nameOf(random, 'controller')}.${1 + random.below(4)}`;
    case 'tap':
      return nameOf(random, 'run') + random.pick(['', '.end', `[${1 + random.below(60)}]`, '.tail', '.tail(2)']);
    default:
      return name;
  }
}

function nameOf(random: Random, kind: string): string {
  const known = BENCH_NAMES[kind as Kind];
  if (known !== undefined && random.chance(0.5)) return random.pick(known);
  return `${kind}-${random.pick(['a', 'b', 'c'])}`;
}

/** `part supply` declares what `of` of a supply refers to; `part pixel` a pixel. */
function declaredBy(entry: Entry): string {
  const [first = '', second] = entry.word.split(' ');
  if (first !== 'part' || second === undefined) return first;
  return (STATEMENTS as readonly Entry[]).some(({ word }) => word === second) ? `${second}-part` : second;
}

/** Every word and sign that the language knows, as material for mutations. */
export const WORDS: readonly string[] = [...new Set(wordsOf(STATEMENTS))];

function wordsOf(entries: readonly Entry[]): string[] {
  return entries.flatMap((entry) => [
    ...entry.word.split(' '),
    ...entry.phrases.flatMap((phrase) => phrase.word ?? []),
    ...wordsOf(entry.block ?? []),
  ]);
}
