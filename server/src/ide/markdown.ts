/**
 * Turns texts of a plan into Markdown that shows exactly these texts. A plan may come from anybody: an image tag in a
 * label would make an editor fetch an address as soon as someone points at a name.
 */

/** Characters that change how a line reads without being seen (controls, direction marks, zero width). */
const HIDDEN = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/g;

/**
 * Marks that mean something to Markdown. Some do only in certain places, and are left alone elsewhere, since not every
 * client renders: a point between digits, a hyphen inside a word, a colon that starts no address.
 */
const MARKS = new RegExp(
  [
    '[\\\\`*_{}\\[\\]#!|<>&~@$=]',
    '(?<![0-9])\\.|\\.(?![0-9])',
    '(?<![\\p{L}\\p{N}])[-+]|[-+](?![\\p{L}\\p{N}])',
    ':(?=\\/)',
    '(?<=[0-9])\\)',
  ].join('|'),
  'gu',
);

/** A text as running Markdown that shows exactly this text; line breaks are kept. */
export function escapeMarkdown(text: string): string {
  if (isPlain(text)) return text;
  return visible(text)
    .trim()
    .replace(MARKS, '\\$&')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '')
    .join('  \n');
}

/** Whether nothing in a text is to be escaped, so that it need not be looked through for each mark: most texts of a card. */
function isPlain(text: string): boolean {
  if (text.startsWith(' ') || text.endsWith(' ')) return false;
  for (let at = 0; at < text.length; at++) {
    const unit = text.charCodeAt(at);
    if (isWordUnit(unit) || PLAIN_UNITS.has(unit)) continue;
    const before = at > 0 ? text.charCodeAt(at - 1) : 0;
    const behind = at + 1 < text.length ? text.charCodeAt(at + 1) : 0;
    const isHarmless =
      (unit === POINT && isDigit(before) && isDigit(behind)) ||
      (unit === HYPHEN && isWordUnit(before) && isWordUnit(behind)) ||
      (unit === CLOSING && !isDigit(before)) ||
      (unit === COLON && behind !== SLASH);
    if (!isHarmless) return false;
  }
  return true;
}

const PLAIN_UNITS = new Set(Array.from(' ,;%\'"/?(°²—…', (mark) => mark.charCodeAt(0)));
const [POINT, HYPHEN, CLOSING, COLON, SLASH] = [0x2e, 0x2d, 0x29, 0x3a, 0x2f];

const isDigit = (unit: number): boolean => unit >= 0x30 && unit <= 0x39;
const isWordUnit = (unit: number): boolean =>
  (unit >= 0x61 && unit <= 0x7a) || isDigit(unit) || (unit >= 0x41 && unit <= 0x5a);

/** A short text in a code span; the fence is longer than any row of backticks inside. */
export function codeSpan(text: string): string {
  const line = visible(text).replace(/\s+/g, ' ').trim();
  if (line === '') return '';
  const fence = '`'.repeat(longestTicks(line) + 1);
  const pad = line.startsWith('`') || line.endsWith('`') ? ' ' : '';
  return `${fence}${pad}${line}${pad}${fence}`;
}

/** Lines of a plan as a fenced block. */
export function codeBlock(text: string): string {
  const fence = '`'.repeat(Math.max(3, longestTicks(text) + 1));
  return `${fence}festoon\n${visible(text)}\n${fence}`;
}

function longestTicks(text: string): number {
  return Math.max(0, ...(text.match(/`+/g) ?? []).map((ticks) => ticks.length));
}

function visible(text: string): string {
  return text.replace(/\r\n?/g, '\n').replace(HIDDEN, '');
}
