/**
 * The grammar for editors that colour with Tree-sitter. It has no words of its own, as the grammar of the server has none:
 * a statement is a row of items, ended by the line, and perhaps a block. What a word is called in the colours is told by
 * queries/highlights.scm, which is made from the vocabulary. The tokens are those of grammar/src/tokens.ts.
 *
 * Where a line is amiss, the error stays in it. A block that is not closed goes on to the end of the file here: that a
 * declaration's keyword closes it is a matter of words.
 */
// Of scripts with thousands of letters the generator knows the first and the last one only: Han and Hangul are added.
const letter = '\\p{L}\\u3400-\\u4dbf\\u4e00-\\u9fff\\uac00-\\ud7a3\\u{20000}-\\u{323af}_';
const word = new RegExp(`m/s|km/h|[${letter}][${letter}\\p{M}\\p{N}²-]*\\+?|\\p{Sc}`, 'u');
const number = /-?\d+(\.\d+)?/;

module.exports = grammar({
  name: 'festoon',
  extras: ($) => [/[ \t\f\v\u00a0\ufeff]/, $.description, $.comment],
  rules: {
    plan: ($) => lines($),
    statement: ($) => seq($.line, optional($.block)),
    // The first word of a line says what it is about.
    line: ($) => seq(choice(alias($.word, $.keyword), $._item), repeat($._rest)),
    block: ($) => seq('{', lines($), '}'),
    _rest: ($) => choice($.word, $._item),
    _item: ($) => choice($.reference, $.number, $.percent, $.date, $.text),
    // `psu-a.2`, `eaves[116]`, `gable(3).star`: nothing stands between a name and its steps.
    reference: ($) => seq($.word, repeat1(choice($.member, $.pixel, $.copy))),
    member: ($) =>
      seq(token.immediate('.'), choice(alias(token.immediate(word), $.word), alias(token.immediate(number), $.number))),
    pixel: ($) => seq(token.immediate('['), $.number, ']'),
    copy: ($) => seq(token.immediate('('), $.number, ')'),
    word: () => word,
    number: () => number,
    percent: () => '%',
    date: () => /\d{4}-\d{2}-\d{2}/,
    // A text that is still being written ends with its line.
    text: () => /"[^"\r\n]*"?/,
    description: () => token(prec(1, /##[^\r\n]*/)),
    comment: () => /#[^\r\n]*/,
    _newline: () => /\r\n|\n|\r/,
  },
});

function lines($) {
  return seq(optional($.statement), repeat(seq($._newline, optional($.statement))));
}
