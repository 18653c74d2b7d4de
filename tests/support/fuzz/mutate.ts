import { UNITS } from '#grammar/units.ts';
import { WORDS } from './generate.ts';
import type { Random } from './random.ts';

/** Damages a text in one to six places, as typing, merging and bad luck do. */
export function mutate(random: Random, text: string): string {
  let result = text;
  for (let count = 1 + random.below(6); count > 0; count--) result = mutateOnce(random, result);
  return result;
}

export function mutateOnce(random: Random, text: string): string {
  return random.pick(MUTATIONS)(random, text).slice(0, MOST);
}

/** Work is bounded by the size of inputs, not by a clock. */
export const MOST = 6000;

/** A piece of a text of at most some lines, from the start of a line on. */
export function excerpt(random: Random, text: string, most: number): string {
  const lines = text.split('\n');
  if (lines.length <= most) return text;
  const from = random.below(lines.length - most);
  return lines.slice(from, from + most).join('\n');
}

/** Signs, units, characters and numbers that are apt to surprise. */
export const NOISE: readonly string[] = [
  ...'{}[]()".,#%-+*/\\<>&\'`$@!?;:=|~^'.split(''),
  '\n',
  '\r',
  '\r\n',
  '\t',
  '\0',
  '\ufeff',
  '\u00a0',
  '\u2028',
  '\u202e',
  '\u2066',
  '\u200b',
  '\ud800',
  '\udc00',
  '\ufffd',
  '\u{1f384}',
  'é',
  'е',
  'Ω',
  '屋',
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  '0',
  '-1',
  '1e9',
  '9'.repeat(400),
  '0.'.padEnd(400, '0'),
  '1.7976931348623157',
  '-0',
  '1000000 px',
  '0 px',
  '0 ohm',
  '0 m',
  'NaN',
  'Infinity',
  '8 ft 4 in',
  '1,5',
  '1,000',
  '2026-02-30',
  '"'.repeat(3),
  '#'.repeat(3),
  '{'.repeat(40),
  '}'.repeat(40),
  '{\n'.repeat(30),
  'use "plan.festoon"\n',
  'use "../x.festoon"\n',
];

const TOKEN = /[\p{L}_][\p{L}\p{N}_-]*|-?\d+(?:\.\d+)?|"[^"\n]*"?|#[^\n]*|\s+|[\s\S]/gu;

type Mutation = (random: Random, text: string) => string;

const byTokens =
  (change: (random: Random, tokens: string[], at: number) => void): Mutation =>
  (random, text) => {
    const tokens = text.match(TOKEN) ?? [''];
    change(random, tokens, random.below(tokens.length));
    return tokens.join('');
  };

const insert: Mutation = (random, text) => {
  const at = random.below(text.length + 1);
  return text.slice(0, at) + random.pick(NOISE) + text.slice(at);
};

const byLines =
  (change: (random: Random, lines: string[], at: number) => void): Mutation =>
  (random, text) => {
    const lines = text.split('\n');
    change(random, lines, random.below(lines.length));
    return lines.join('\n');
  };

const MUTATIONS: readonly Mutation[] = [
  byTokens((_, tokens, at) => tokens.splice(at, 1)),
  byTokens((_, tokens, at) => tokens.splice(at, 0, tokens[at] ?? '')),
  byTokens((random, tokens, at) => {
    const other = random.below(tokens.length);
    [tokens[at], tokens[other]] = [tokens[other] ?? '', tokens[at] ?? ''];
  }),
  byTokens((random, tokens, at) => {
    tokens[at] = random.pick(WORDS);
  }),
  byTokens((random, tokens, at) => {
    tokens[at] = random.pick(NOISE);
  }),
  byTokens((random, tokens) => scaleNumber(random, tokens)),
  byTokens((random, tokens) => changeUnit(random, tokens)),
  insert,
  insert,
  (random, text) => {
    const at = random.below(text.length + 1);
    return text.slice(0, at) + String.fromCharCode(random.below(0x10000)) + text.slice(at + random.below(2));
  },
  (random, text) => text.slice(0, random.below(text.length + 1)),
  byLines((_, lines, at) => lines.splice(at, 1)),
  byLines((_, lines, at) => lines.splice(at, 0, lines[at] ?? '')),
  byLines((random, lines, at) => {
    const other = random.below(lines.length);
    [lines[at], lines[other]] = [lines[other] ?? '', lines[at] ?? ''];
  }),
  (random, text) => text.replaceAll('\n', random.pick(['\r\n', '\r', '\n\n', ' \n'])),
];

/** Numbers are what a person changes most: they make findings of the electrical kind. */
export function scaleNumber(random: Random, tokens: string[]): void {
  const numbers = [...tokens.keys()].filter((index) => /^-?\d/.test(tokens[index] ?? ''));
  if (numbers.length === 0) return;
  const at = random.pick(numbers);
  const scaled = Number(tokens[at]) * random.pick([0, 0.1, 0.5, 2, 3, 10, 1000, -1]);
  tokens[at] = String(Number(scaled.toPrecision(4)));
}

function changeUnit(random: Random, tokens: string[]): void {
  const units = [...tokens.keys()].filter((index) => UNITS.has(tokens[index] ?? ''));
  if (units.length > 0) tokens[random.pick(units)] = random.chance(0.3) ? '' : random.pick([...UNITS.keys()]);
}

/** The text as tokens that tile it, for tests that damage in ways of their own. */
export function tokensOf(text: string): string[] {
  return text.match(TOKEN) ?? [];
}
