import { sure } from '#grammar/sure.ts';

/**
 * Text from a plan as it may go to a terminal. Names, labels and file names come from files that others wrote: a
 * control sequence in them could move the cursor, retitle the window or hide what a line says. Such characters are
 * shown by their number instead.
 */

/**
 * What is never printed raw: C0 and C1 controls (Cc), marks that cannot be seen or that turn the direction of
 * writing (Cf), line and paragraph separators (Zl, Zp), and surrogates without their other half (Cs). The joiners
 * that some scripts and many emoji need are let through.
 */
export const UNPRINTABLE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu;
const JOINERS: ReadonlySet<string> = new Set(['\u200c', '\u200d']);

/** The text on one line, with everything that a terminal could obey or hide shown as `<U+202E>`; a tab is a space. */
export function printable(text: string): string {
  return text.replace(UNPRINTABLE, (character) => {
    if (character === '\t') return ' ';
    if (JOINERS.has(character)) return character;
    return `<U+${sure(character.codePointAt(0)).toString(16).toUpperCase().padStart(4, '0')}>`;
  });
}

/** Columns that a printable text takes: none for marks that combine, two for wide characters (UAX #11, in blocks). */
export function displayWidth(text: string): number {
  let width = 0;
  for (const character of text) width += widthOf(character);
  return width;
}

/** The longest beginning of a printable text that fits; where something is cut off, it ends with an ellipsis. */
export function clip(text: string, width: number): string {
  if (displayWidth(text) <= width) return text;
  let kept = '';
  let used = 0;
  for (const character of text) {
    used += widthOf(character);
    if (used > width - 1) break;
    kept += character;
  }
  return `${kept}…`;
}

const WIDE: readonly (readonly [number, number])[] = [
  [0x1100, 0x115f],
  [0x2e80, 0x303e],
  [0x3041, 0xa4cf],
  [0xac00, 0xd7a3],
  [0xf900, 0xfaff],
  [0xfe30, 0xfe6f],
  [0xff00, 0xff60],
  [0xffe0, 0xffe6],
  [0x1f300, 0x1f64f],
  [0x1f680, 0x1f6ff],
  [0x1f900, 0x1faff],
  [0x20000, 0x3fffd],
];

function widthOf(character: string): number {
  const code = sure(character.codePointAt(0));
  if (code < 0x300) return 1;
  if (JOINERS.has(character) || /\p{M}/u.test(character)) return 0;
  return WIDE.some(([from, to]) => code >= from && code <= to) ? 2 : 1;
}
