import { DIMENSIONS, type Dimension, UNITS } from './units.ts';
import { STATEMENTS } from './vocabulary.ts';
import type { Entry, Kind, Phrase, Value } from './words/entry.ts';

/** Writes the reference page of the language from the vocabulary, as Markdown. */
export function referencePage(): string {
  return `${INTRODUCTION}
${unitTable()}

## Statements

${STATEMENTS.map((entry) => `- [${entry.word}](#${entry.word.replace(' ', '-')})`).join('\n')}

${STATEMENTS.map((entry) => statementSection(entry)).join('\n')}`;
}

const INTRODUCTION = `# The language of a plan

This page is made from the vocabulary (\`grammar/src/vocabulary.ts\`) by \`npm run generate\`; change it there.

A plan is plain text in files that end in \`.festoon\`.

- **One fact a line.** A statement ends where its line ends. There is no mark for going on in the next line; a statement
  that grows long has a block.
- **One shape for everything**: a keyword, mostly a name, perhaps a "label" for people, then phrases: a small word and its
  value (\`of bullet-12\`, \`every 75 mm\`). The order of phrases is free. Some values need no word, because their unit says
  what they are: \`lead 14 m\`.
- **A block** in \`{ }\` holds more lines of the same shape. The \`{\` ends its line, the \`}\` has a line of its own.
- **The order of declarations does not matter.** Inside a run and inside a feed it does: a run is written in data order, a
  feed from the supply outwards.
- **Names** are letters, digits, hyphens and underscores, and start with a letter. They last for years: choose what the crew says.
- **A line that starts with a declaration's keyword** ends any block that is still open. A broken line hurts only itself.
- **Comments** start with \`#\`. Lines that start with \`##\` directly above a declaration describe it: they are shown when
  someone points at its name.

## Where something is

| written | means |
|---|---|
| \`psu-a.2\` | output 2 of supply psu-a |
| \`box.1\` | port 1 of controller box |
| \`eaves[116]\` | pixel 116 of run eaves; pixels count from 1 along the data, dark ones too |
| \`eaves.start\`, \`eaves.end\` | the joint before its first pixel, and its last pixel |
| \`eaves.gable\` | the joint before the first pixel of the string gable |
| \`eaves.gable[3]\`, \`eaves.gable.end\` | its third pixel, its last pixel |
| \`sail.canvas(5)\` | the joint before the fifth strand of a matrix or tree |
| \`yard.flakes(3)\` | the joint before the third of several copies |
| \`shed to roof\` | a way from place to place; \`shed to roof to gable\` goes over two routes |

In a \`feed\` line write the tap before the way, or with a dot or bracket behind its name: \`to eaves[1]  along shed to roof\`.

## Addresses

Every run has addresses without a word about them: its pixels take the slots of universes (ANSI E1.31) one after the other,
run behind run in the order of the plan, controller behind controller. \`universes from 7\` in a controller's block says
where its runs begin; \`universe 9 slot 31\` on a run pins it, and all others step over it. A pin keeps an address for years,
whatever is added in front of it. A pixel is not split over two universes unless the controller says \`split\`. Dark pixels
(\`null\`) have no address.

## Quantities

Every quantity carries its unit, metric or imperial. Feet and inches are written together: \`8 ft 4 in\`. Decimals take a
point.
`;

function unitTable(): string {
  const rows = (Object.keys(DIMENSIONS) as Dimension[]).map((dimension) => {
    const units = [...UNITS].filter(([, unit]) => unit.dimension === dimension).map(([name]) => `\`${name}\``);
    return `| ${DIMENSIONS[dimension].name} | ${units.join(' ')} | \`${DIMENSIONS[dimension].example}\` |`;
  });
  return ['| what | units | example |', '|---|---|---|', ...rows].join('\n');
}

function statementSection(entry: Entry): string {
  const parts = [`### ${entry.word}`, entry.help, fence(entry.example), phraseTable(entry.phrases)];
  if (entry.block !== undefined) {
    parts.push(`Lines in its block${entry.needs === undefined ? '' : ` (${entry.needs.join(', ')} must be there)`}:`);
    parts.push(entry.block.map(lineSection).join('\n'));
  }
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function lineSection(entry: Entry): string {
  const phrases = entry.phrases.map((phrase) => `  - ${phraseText(phrase)}`).join('\n');
  return `- **${entry.word}** — ${entry.help} \`${entry.example}\`\n${phrases}`;
}

function phraseTable(phrases: readonly Phrase[]): string {
  if (phrases.length === 0) return '';
  return phrases.map((phrase) => `- ${phraseText(phrase)}`).join('\n');
}

function phraseText(phrase: Phrase): string {
  const word = phrase.word === undefined ? '' : `\`${phrase.word}\` `;
  const must = phrase.required === true ? ', required' : '';
  const standard =
    phrase.standard === undefined ? '' : ` Otherwise: ${phrase.standard.text} (${phrase.standard.source}).`;
  return `${word}${valueText(phrase.value)}${must}: ${phrase.help}${standard}`;
}

function valueText(value: Value): string {
  switch (value.type) {
    case 'quantity':
      return `*${value.of.map((dimension) => DIMENSIONS[dimension].name).join(' or ')}*`;
    case 'whole':
      return `*a ${value.fractions ? '' : 'whole '}number, ${value.least} to ${value.most}*`;
    case 'range':
      return `*${DIMENSIONS[value.of].name} to another*`;
    case 'reference':
      return `*the name of a ${value.to.map((kind) => KINDS[kind]).join(' or ')}*`;
    case 'path':
      return '*places joined by "to"*';
    case 'choice':
      return `*one of ${value.of.join(', ')}*`;
    case 'choices':
      return `*some of ${value.of.join(', ')}*`;
    case 'flag':
      return '*(the word alone)*';
    case 'date':
      return '*a day: year-month-day*';
    case 'text':
      return '*a "text"*';
    case 'code':
      return '*the code of a finding*';
    case 'currency':
      return '*a currency*';
  }
}

/** How each kind of thing is called in prose. */
export const KINDS: Readonly<Record<Kind, string>> = {
  place: 'place',
  pixel: 'pixel part',
  panel: 'panel part',
  flood: 'flood part',
  cable: 'cable part',
  connector: 'connector part',
  'supply-part': 'supply part',
  'controller-part': 'controller part',
  'receiver-part': 'receiver part',
  circuit: 'circuit',
  supply: 'supply',
  board: 'fused board',
  output: 'fused output',
  controller: 'controller or receiver',
  port: 'port of a controller or receiver',
  prop: 'prop',
  run: 'run',
  tap: 'joint of a run',
  feed: 'feed',
  bond: 'bond',
};

function fence(text: string): string {
  return `\`\`\`festoon\n${text}\n\`\`\``;
}
