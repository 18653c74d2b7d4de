/** What the editor does by itself while a plan is typed: words, indentation and brackets. */
import { describe, expect, it } from 'vitest';
import { readText } from './tree.ts';

const configuration = JSON.parse(readText('client/language/language-configuration.json')) as {
  comments: { lineComment: string };
  wordPattern: { pattern: string; flags: string };
  indentationRules: { increaseIndentPattern: string; decreaseIndentPattern: string };
  onEnterRules: { beforeText: string; afterText: string; action: { indent: string; appendText: string } }[];
};

/** What the next line begins with when Enter is pressed at the bar. */
function begun(line: string): string {
  const [before = '', after = ''] = line.split('|');
  const rule = configuration.onEnterRules.find(
    ({ beforeText, afterText }) => new RegExp(beforeText).test(before) && new RegExp(afterText).test(after),
  );
  return rule?.action.appendText ?? '';
}

const increase = new RegExp(configuration.indentationRules.increaseIndentPattern);
const decrease = new RegExp(configuration.indentationRules.decreaseIndentPattern);

describe('language configuration', () => {
  it.each(['run eaves  from box.1 {', 'plan "Lights" {   # all of it', 'prop "a { in a label" {', '  {'])(
    'indents after %j',
    (line) => {
      expect(increase.test(line)).toBe(true);
    },
  );

  it.each(['# run eaves {', 'place shed "Tool { shed"', 'run eaves from box.1 { lead 14 m }', 'place shed', '}'])(
    'does not indent after %j',
    (line) => {
      expect(increase.test(line)).toBe(false);
    },
  );

  it.each([
    ['}', true],
    ['  }  # end', true],
    ['place shed }', false],
  ])('moves %j back: %s', (line, back) => {
    expect(decrease.test(line)).toBe(back);
  });

  it.each([
    ['full-white', ['full-white']],
    ['psu-a.2', ['psu-a']],
    ['gable(3) quai-été', ['gable', 'quai-été']],
    ['from box.1', ['from', 'box']],
  ])('takes the words of %j', (text, words) => {
    const { pattern, flags } = configuration.wordPattern;
    expect(text.match(new RegExp(pattern, `${flags}g`))).toEqual(words);
  });

  it.each([
    ['# The roof, | then the gable', '# '],
    ['## The roof, | then the gable', '## '],
    ['  # The roof,| then the gable', '# '],
    ['#| The roof', '# '],
    // At its end a comment is complete: most are one line above a declaration.
    ['## The roof|', ''],
    ['# The roof|  ', ''],
    ['place shed  # The| shed', ''],
    ['place| shed "# 1"', ''],
    ['| # The roof', ''],
  ])('goes on with a comment that is split: %j', (line, start) => {
    expect(begun(line)).toBe(start);
  });

  it('looks at a very long line in one pass', () => {
    const line = `${'{ "a" '.repeat(200_000)}"`;
    expect(increase.test(line)).toBe(false);
  });
});
