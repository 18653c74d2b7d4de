import { UNITS } from './units.ts';
import { alternatives, BLOCK_LINES, phraseWords, TOP_LINES } from './word-lists.ts';
import type { Entry, Kind } from './words/entry.ts';

/** What names are coloured as, in the words that queries of Tree-sitter have for it. */
type Colour = 'type' | 'namespace' | 'variable' | 'property';

/**
 * The colours of the Tree-sitter grammar, as a query that is made from the vocabulary: the grammar has no words of its own.
 * Editors differ in which of two patterns counts for one word, so no word fits two that would give it different colours.
 * Older ones follow only a few dozen patterns that have begun to fit at a time, so as few as may be go on through a line.
 */
export function highlightsQuery(): string {
  const patterns = [
    '(description) @comment.documentation',
    '(comment) @comment',
    '(text) @string',
    '(date) @constant.numeric',
    ...['line', 'pixel', 'copy'].map((parent) => `(${parent} (number) @constant.numeric)`),
    '(percent) @keyword.unit',
    `((number) . (word) @keyword.unit ${isOneOf('keyword.unit', UNIT_WORDS)})`,
    ...keywords(),
    ...phrases(),
    ...declaredNames(),
    '(reference . (word) @variable)',
    '(member [(word) (number)] @property)',
    ...namesInPlace(),
    ...ways(),
  ];
  return `; Made from the vocabulary by npm run generate.\n\n${patterns.join('\n\n')}\n`;
}

/** The sign for percent is a token of its own. */
const UNIT_WORDS = [...UNITS.keys()].filter((unit) => unit !== '%');

/** Words are letters, digits and strokes: none of them means anything in a pattern. */
function isOneOf(capture: string, words: Iterable<string>): string {
  return `(#match? @${capture} "^(${alternatives(words)})$")`;
}

function isNoneOf(capture: string, words: Iterable<string>): string {
  return `(#not-match? @${capture} "^(${alternatives(words)})$")`;
}

const isPart = ({ word }: Entry): boolean => word.startsWith('part ');
const SINGLE = TOP_LINES.filter((entry) => !isPart(entry));
const PART_KINDS = TOP_LINES.filter(isPart).map(({ word }) => word.slice('part '.length));

function keywords(): string[] {
  const first = (capture: string, lines: readonly Entry[]) =>
    `((keyword) @${capture} ${isOneOf(capture, wordsOf(lines))})`;
  return [
    first('keyword', SINGLE),
    first('keyword.storage', BLOCK_LINES),
    `((keyword) @keyword . (word) @keyword.storage . (word)? @type
  (#eq? @keyword "part") ${isOneOf('keyword.storage', PART_KINDS)})`,
  ];
}

const wordsOf = (lines: readonly Entry[]): string[] => lines.map(({ word }) => word);

/** Some of the words that lead phrases are units behind a number, or kinds of parts behind `part`. */
function phrases(): string[] {
  const words = phraseWords();
  const isOther = (word: string) => UNITS.has(word) || PART_KINDS.includes(word);
  const [plain, others] = [words.filter((word) => !isOther(word)), words.filter(isOther)];
  return [
    `(line (word) @keyword.operator ${isOneOf('keyword.operator', plain)})`,
    `([(keyword) (word) (reference) (percent) (text) (date)] @_before . (word) @keyword.operator
  (#not-eq? @_before "part") ${isOneOf('keyword.operator', others)})`,
  ];
}

/** What a line declares, by its keyword. A word of the language is no name: the name is still to be written. */
function declaredNames(): string[] {
  const groups = new Map<Colour, string[]>();
  const add = (colour: Colour, { word, name }: Entry) => {
    if (name !== 'none') groups.set(colour, [...(groups.get(colour) ?? []), word]);
  };
  for (const entry of SINGLE) add(COLOURS.get(entry.word) ?? 'variable', entry);
  for (const entry of BLOCK_LINES) add('property', entry);
  return [...groups].map(
    ([colour, words]) => `((keyword) @_keyword . (word) @${colour}
  ${isOneOf('_keyword', words)} ${isNoneOf(colour, phraseWords())})`,
  );
}

/** Declarations of what others are made of, and of where they stand; all others are of what is wired. */
const COLOURS: ReadonlyMap<string, Colour> = new Map([
  ['place', 'namespace'],
  ['prop', 'type'],
]);

/** The colour of a name of any of some kinds; undefined where they differ. */
function colourOf(kinds: readonly Kind[]): Colour | undefined {
  const found = new Set(
    kinds.map((kind): Colour => (TYPES.has(kind) ? 'type' : kind === 'place' ? 'namespace' : 'variable')),
  );
  return found.size === 1 ? [...found][0] : undefined;
}

const TYPES: ReadonlySet<Kind> = new Set([
  ...(['pixel', 'panel', 'flood', 'cable', 'connector', 'prop'] as const),
  ...(['supply-part', 'controller-part', 'receiver-part'] as const),
]);

/** A word that leads a phrase, in the line of a keyword. */
interface Lead {
  readonly keyword: string;
  readonly lead: string;
  /** Undefined where the word behind it is no name, or one of several colours. */
  readonly colour: Colour | undefined;
  /** Words of the language that may stand behind it instead. */
  readonly choices: readonly string[];
}

/** Names behind a word that leads a phrase, and behind the keyword of a line that is about them. */
function namesInPlace(): string[] {
  const leads: Lead[] = [];
  const bare = new Map<Colour, string[]>();
  for (const { word, phrases: all } of LINES) {
    for (const { word: lead, value } of all) {
      const colour = value.type === 'reference' ? colourOf(value.to) : undefined;
      const choices = value.type === 'choice' ? value.of : [];
      if (lead !== undefined) leads.push({ keyword: word.replace(/ .*/, ''), lead, colour, choices });
      else if (value === all[0]?.value && colour !== undefined) bare.set(colour, [...(bare.get(colour) ?? []), word]);
    }
  }
  return [
    ...led(leads),
    ...[...bare].map(
      ([colour, words]) => `((keyword) @_keyword . (word) @${colour}
  ${isOneOf('_keyword', words)} ${isNoneOf(colour, phraseWords())})`,
    ),
  ];
}

const LINES = [...TOP_LINES, ...BLOCK_LINES];

/**
 * A lead gives one colour wherever it stands. Only behind the `of` of `accept` stand names of every kind; they get that of
 * parts, since what tells them apart is the line's first word, and a pattern from there to here would hold up all others.
 */
function led(leads: readonly Lead[]): string[] {
  const patterns: string[] = [];
  const groups = new Map<Colour, Lead[]>();
  for (const lead of new Set(leads.map((each) => each.lead))) {
    const own = leads.filter((each) => each.lead === lead);
    const [colour] = own.flatMap((each) => each.colour ?? []);
    if (colour === undefined) continue;
    if (lead === 'to') patterns.push(besideWays(colour));
    else if (PART_KINDS.includes(lead)) patterns.push(ledInLine(lead, colour, own));
    else groups.set(colour, [...(groups.get(colour) ?? []), ...own]);
  }
  for (const [colour, own] of groups) {
    const choices = own.flatMap((each) => each.choices);
    const but = choices.length === 0 ? '' : ` ${isNoneOf(colour, choices)}`;
    const words = own.map(({ lead }) => lead);
    patterns.push(`((word) @_lead . (word) @${colour} ${isOneOf('_lead', words)}${but})`);
  }
  return patterns;
}

/** A word that is the second one of a keyword too leads a name only right behind the keyword of such a line. */
function ledInLine(lead: string, colour: Colour, own: readonly Lead[]): string {
  const lines = own.map(({ keyword }) => keyword);
  return `((keyword) @_keyword . (word) @_lead . (word) @${colour}
  (#eq? @_lead "${lead}") ${isOneOf('_keyword', lines)})`;
}

/** `shed to wall to roof`: places, behind the words that lead a way. */
function ways(): string[] {
  const first = '([(keyword) (word)] @_lead . (word) @namespace . (word) @_to . (word) @namespace';
  const leads = `${isOneOf('_lead', wayLeads())} (#eq? @_to "to")`;
  return [
    `${first}
  ${leads})`,
    `${first} . (word) @_on . (word) @namespace
  ${leads} (#eq? @_on "to"))`,
  ];
}

/** What `to` leads outside of ways. */
function besideWays(colour: Colour): string {
  return `([(keyword) (word) (reference) (number)] @_way . (_) . (word) @_lead . (word) @${colour}
  (#eq? @_lead "to") ${isNoneOf('_way', [...wayLeads(), 'to'])})`;
}

function wayLeads(): string[] {
  return LINES.flatMap(({ word, phrases: all }) =>
    all.flatMap((phrase) => (phrase.value.type === 'path' ? [phrase.word ?? word] : [])),
  );
}
