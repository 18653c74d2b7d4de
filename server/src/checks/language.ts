import type { Check } from './check.ts';

/** What can be amiss with the words of a plan. These are found while it is read; here they get level and explanation. */
export const LANGUAGE_CHECKS: readonly Check[] = [
  {
    code: 'stray-text',
    level: 'error',
    title: 'A character that has no meaning here',
    explanation: 'Texts for people stand in "quotes"; numbers, words and { } make up the rest. Take the character out.',
  },
  {
    code: 'unclosed-text',
    level: 'error',
    title: 'A text without its closing quote',
    explanation: 'A text starts and ends with " on the same line.',
  },
  {
    code: 'unclosed-block',
    level: 'error',
    title: 'A block without its }',
    explanation:
      'A block ends with } on a line of its own. Where it is missing, the next line that starts a declaration ends the block, so that the rest of the plan still stands.',
  },
  {
    code: 'unclosed-bracket',
    level: 'error',
    title: 'A pixel or copy number that is not finished',
    explanation: 'A pixel of a run is `eaves[12]`, a copy or strand is `flakes(3)`.',
  },
  {
    code: 'stray-brace',
    level: 'error',
    title: 'A { or } that belongs to nothing',
    explanation: 'A { stands at the end of the line that it belongs to; a } on a line of its own closes it.',
  },
  {
    code: 'line-not-ended',
    level: 'error',
    title: 'Two statements on one line',
    explanation: 'One fact a line: a statement ends where its line ends.',
  },
  {
    code: 'decimal-comma',
    level: 'error',
    title: 'A number with a decimal comma',
    explanation: 'Decimals take a point: 0.9 m. The number is read as it was meant.',
  },
  {
    code: 'too-deep',
    level: 'error',
    title: 'Blocks nested too deeply',
    explanation: 'No statement needs more than four blocks inside one another.',
  },
  {
    code: 'hidden-character',
    level: 'error',
    title: 'A character that cannot be seen',
    explanation:
      'Control characters and marks that turn the direction of writing can make a line look different from what it says. They have no place in a plan that others review.',
  },
  {
    code: 'mixed-scripts',
    level: 'warning',
    title: 'A name with letters of two scripts that look alike',
    explanation:
      'A Cyrillic or Greek letter inside a Latin word looks like a Latin one, but makes another name of it (Unicode technical standard 39). In a plan that others review, a name should be what it seems to be. Texts in quotes and comments may mix as they like.',
  },
  {
    code: 'stray-line',
    level: 'error',
    title: 'A line that stands in the wrong place',
    explanation:
      'Lines like lead, string and gap belong inside the { } of a run or prop, the lead before the first pixel.',
  },
  {
    code: 'unknown-word',
    level: 'error',
    title: 'A line that starts with an unknown word',
    explanation: 'The words that may start a line are listed in the language reference; completion offers them.',
  },
  {
    code: 'unexpected-word',
    level: 'error',
    title: 'Something that has no place on this line',
    explanation: 'The line was read without it. The language reference says what each kind of line may have.',
  },
  {
    code: 'missing-name',
    level: 'error',
    title: 'A declaration without a name',
    explanation: 'Names are how the rest of the plan, the labels and next year speak of a thing.',
  },
  {
    code: 'missing-phrase',
    level: 'error',
    title: 'Something that this line needs is missing',
    explanation: 'The message names what is missing and gives an example.',
  },
  {
    code: 'said-twice',
    level: 'warning',
    title: 'The same thing said twice',
    explanation: 'The first one holds. Take one of them out.',
  },
  {
    code: 'missing-unit',
    level: 'error',
    title: 'A number without a unit',
    explanation: 'Every quantity carries its unit: 12 V, 75 mm, 8 ft 4 in, 18 AWG. A bare number could mean anything.',
  },
  {
    code: 'unknown-unit',
    level: 'error',
    title: 'A unit that Festoon does not know',
    explanation: 'The units are listed in the language reference. They are written as on the part: mA, mm, AWG, degC.',
  },
  {
    code: 'wrong-dimension',
    level: 'error',
    title: 'A quantity of the wrong kind',
    explanation: 'A length cannot stand where a voltage is due. The message says what is due.',
  },
  {
    code: 'impossible-value',
    level: 'error',
    title: 'A value that cannot be real',
    explanation:
      'A cable of 10 km, a run of a billion pixels: most likely a slip. The value is left out of the computation.',
  },
  {
    code: 'unknown-name',
    level: 'error',
    title: 'A name that nothing has',
    explanation:
      'Everything that is named must be declared somewhere in the plan or in a file that it uses. What depends on it is left out.',
  },
  {
    code: 'duplicate-name',
    level: 'error',
    title: 'Two things of the same name',
    explanation: 'The first one keeps the name. Give the other one another name.',
  },
  {
    code: 'empty-run',
    level: 'warning',
    title: 'A run without pixels',
    explanation: 'A run holds everything on one port: lead, strings, gaps. This one has no string yet.',
  },
  {
    code: 'missing-file',
    level: 'error',
    title: 'A file that cannot be read',
    explanation:
      '`use` names a file beside this one: `use "parts/stock.festoon"`. Paths count from the file that uses them.',
  },
  {
    code: 'file-cycle',
    level: 'error',
    title: 'Files that use each other in a circle',
    explanation: 'A file cannot use a file that uses it. Take one of the `use` lines out.',
  },
  {
    code: 'file-outside',
    level: 'error',
    title: 'A file outside the folder of the display',
    explanation:
      'A plan from somebody else must not read what it likes on your machine: `use` stays inside the opened folder.',
  },
  {
    code: 'internal',
    level: 'error',
    title: 'A fault of Festoon itself',
    explanation:
      'One of the checks failed on this plan. The others ran; what this one looks for is not known. Please report it.',
  },
  {
    code: 'too-large',
    level: 'error',
    title: 'A file that is too large to be a plan',
    explanation: 'Files up to 2 MB are read. A display of a million pixels takes a few kilobytes.',
  },
];
