import { expect, test } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { LEXER } from '#grammar/tokens.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import { levelOf } from '#server/analysis/analysis.ts';
import { analysePlan } from '../../support/plans.ts';
import { seededRandom } from '../../support/random-circuit.ts';

/**
 * Generated plans: examples of the vocabulary in any order, with comments in every place where one may stand, odd
 * blanks, blank lines, and lines that somebody has broken. Formatting changes none of what they say.
 */
const PLANS = 2000;

const random = seededRandom(2027);
const pick = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)] as T;
const often = (share: number) => random() < share;

/** What a slip of the hand leaves behind. */
const BREAKS: readonly ((line: string) => string)[] = [
  (line) => line.slice(0, Math.floor(random() * line.length)),
  (line) => line.replace(/\d+/, ''),
  (line) => line.replace('"', ''),
  (line) => line.replace(/[{}]/, ''),
  (line) => `${line} ${pick(['}', '{', '[', '(3', ',', '5 V', 'of', '"text', '1,5 m', '\u00e9t\u00e9'])}`,
  (line) => line.replace(/\S+/, 'gable'),
  (line) => line.replace(/ /, ''),
];

function generated(): string {
  const lines: string[] = [];
  for (let count = 1 + Math.floor(random() * 4); count > 0; count--) {
    for (const line of pick(STATEMENTS).example.split('\n')) {
      if (often(0.1)) lines.push(pick(['', '  ', '# a remark', '\t## what it is  ', '#! mark', '#']));
      const broken = often(0.08) ? pick(BREAKS)(line) : line;
      const spaced = broken.replaceAll(/ +/g, (blank) => (often(0.3) ? pick([' ', '   ', '\t', '\u00a0']) : blank));
      lines.push(
        `${pick(['', '', ' ', '      '])}${spaced}${often(0.15) ? pick([' # why', '   ## "twice"', '#{']) : ''}`,
      );
    }
  }
  return lines.join(pick(['\n', '\n', '\r\n'])) + pick(['', '\n', '\n\n']);
}

const commentsOf = (text: string) =>
  (LEXER.tokenize(text).groups['comments'] ?? []).map(({ image }) => image.trimEnd());

/** What Festoon says of a plan, wherever in the text; quoted words of the plan with single blanks. */
const said = (text: string) =>
  analysePlan(text)
    .analysis.findings.map((found) => `${found.code} ${levelOf(found)} ${found.message.replaceAll(/\s+/g, ' ')}`)
    .sort();

test('2,000 generated plans mean the same when they are formatted, and stay so', () => {
  let comments = 0;
  let changed = 0;
  let found = 0;
  for (let count = 0; count < PLANS; count++) {
    const text = generated();
    const formatted = formatText(text);
    expect(formatText(formatted), text).toBe(formatted);
    expect(commentsOf(formatted), text).toEqual(commentsOf(text));
    const before = said(text);
    expect(said(formatted), text).toEqual(before);
    comments += commentsOf(text).length;
    found += before.length;
    if (formatted !== text) changed++;
  }
  // The plans are worth the while: most are changed, and comments and findings abound.
  expect(changed).toBeGreaterThan(PLANS / 2);
  expect(comments).toBeGreaterThan(PLANS / 2);
  expect(found).toBeGreaterThan(PLANS);
}, 120_000);
