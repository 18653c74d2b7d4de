import { createToken, Lexer, type TokenType } from 'chevrotain';

/**
 * The tokens. No input is a lexical error: what nothing else matches becomes `Other`, so that tokens, comments
 * and white space together always tile the text. Words are generic; which of them open a declaration is asked
 * of the vocabulary by the parser.
 */

/** Two units are written with a stroke; the sign of a currency is a word of its own. */
const WORD = /(?:m\/s|km\/h)(?![\p{L}\p{M}\p{N}_-])|[\p{L}_][\p{L}\p{M}\p{N}_²-]*\+?|\p{Sc}/uy;

/** Chevrotain drops the unicode flag of patterns, so the word is matched by hand. */
function matchWord(text: string, offset: number): RegExpExecArray | null {
  WORD.lastIndex = offset;
  return WORD.exec(text);
}

export const Word = createToken({
  name: 'Word',
  pattern: { exec: matchWord },
  line_breaks: false,
  start_chars_hint: codeUnits((character) => /[\p{L}\p{Sc}_]/u.test(character)),
});
export const DateToken = createToken({ name: 'Date', pattern: /\d{4}-\d{2}-\d{2}/ });
export const DecimalComma = createToken({ name: 'DecimalComma', pattern: /-?\d+,\d+/ });
export const NumberToken = createToken({ name: 'Number', pattern: /-?\d+(?:\.\d+)?/ });
export const Percent = createToken({ name: 'Percent', pattern: '%' });
export const Quoted = createToken({ name: 'Quoted', pattern: /"[^"\r\n]*"/ });
/** A text whose closing quote is missing: it ends where the line ends. */
export const OpenQuoted = createToken({ name: 'OpenQuoted', pattern: /"[^"\r\n]*/ });
export const LeftBrace = createToken({ name: 'LeftBrace', pattern: '{' });
export const RightBrace = createToken({ name: 'RightBrace', pattern: '}' });
export const LeftBracket = createToken({ name: 'LeftBracket', pattern: '[' });
export const RightBracket = createToken({ name: 'RightBracket', pattern: ']' });
export const LeftParenthesis = createToken({ name: 'LeftParenthesis', pattern: '(' });
export const RightParenthesis = createToken({ name: 'RightParenthesis', pattern: ')' });
export const Dot = createToken({ name: 'Dot', pattern: '.' });
export const Newline = createToken({ name: 'Newline', pattern: /\r\n|\n|\r/, line_breaks: true });
export const Blank = createToken({ name: 'Blank', pattern: /[ \t\f\v\u00a0\ufeff]+/, group: Lexer.SKIPPED });
export const Comment = createToken({
  name: 'Comment',
  pattern: /#[^\r\n]*/,
  start_chars_hint: ['#'],
  group: 'comments',
});
/** Whatever nothing else matches, one character at a time: an edit must not take half of a surrogate pair. */
export const Other = createToken({
  name: 'Other',
  pattern: /[\ud800-\udbff][\udc00-\udfff]|[^\r\n]/,
  start_chars_hint: codeUnits((character) => character !== '\n' && character !== '\r'),
});

const TOKENS: TokenType[] = [
  Blank,
  Newline,
  Comment,
  Word,
  DateToken,
  DecimalComma,
  NumberToken,
  Percent,
  Quoted,
  OpenQuoted,
  LeftBrace,
  RightBrace,
  LeftBracket,
  RightBracket,
  LeftParenthesis,
  RightParenthesis,
  Dot,
  Other,
];

export const TOKEN_TYPES: readonly TokenType[] = TOKENS;

/** The tokens are sound: a test makes this lexer with all validations, which would only slow the start here. */
export const LEXER = new Lexer(TOKENS, {
  positionTracking: 'onlyOffset',
  ensureOptimizations: true,
  skipValidations: true,
});

/**
 * The code units for which the lexer should try a token. Beyond the first 256 it tries by whole blocks of 255, so one
 * unit of each block is enough: what does not match there is left to the next token.
 */
function codeUnits(accepts: (character: string) => boolean): number[] {
  const units: number[] = [];
  for (let unit = 0; unit < 256; unit++) if (accepts(String.fromCharCode(unit))) units.push(unit);
  for (let unit = 256; unit <= 0xffff; unit += 128) units.push(unit);
  units.push(0xffff);
  return units;
}
