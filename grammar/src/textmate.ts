import { UNITS } from './units.ts';
import { alternatives, BLOCK_LINES, phraseWords, TOP_LINES } from './word-lists.ts';

/** Makes the syntax colours (a TextMate grammar) from the vocabulary and the units. */
export function textmateGrammar(): object {
  return {
    name: 'Festoon',
    scopeName: 'source.festoon',
    patterns: [
      { include: '#comment' },
      { include: '#text' },
      { include: '#declaration' },
      { include: '#line' },
      { include: '#item' },
    ],
    repository: {
      comment: {
        patterns: [
          { name: 'comment.line.documentation.festoon', match: '##[^\\r\\n]*' },
          { name: 'comment.line.number-sign.festoon', match: '#[^\\r\\n]*' },
        ],
      },
      text: { name: 'string.quoted.double.festoon', match: '"[^"\\r\\n]*"?' },
      declaration: {
        match: `^\\s*(${alternatives(TOP_LINES.map((entry) => entry.word.replace(' ', '\\s+')))})(?![\\w-])(?:\\s+([\\p{L}_][\\p{L}\\p{N}_-]*))?`,
        captures: { 1: { name: 'keyword.control.festoon' }, 2: { name: 'entity.name.festoon' } },
      },
      line: {
        match: `^\\s*(${alternatives(BLOCK_LINES.map((line) => line.word))})(?![\\w-])`,
        captures: { 1: { name: 'storage.type.festoon' } },
      },
      item: {
        patterns: [
          {
            match: `(-?\\d+(?:\\.\\d+)?)\\s*(${alternatives([...UNITS.keys()])})?(?![\\w-])`,
            captures: { 1: { name: 'constant.numeric.festoon' }, 2: { name: 'keyword.other.unit.festoon' } },
          },
          { name: 'keyword.operator.word.festoon', match: `(?<=\\s)(?:${alternatives(phraseWords())})(?=\\s)` },
          { name: 'variable.other.festoon', match: '[\\p{L}_][\\p{L}\\p{N}_-]*\\+?' },
        ],
      },
    },
  };
}
