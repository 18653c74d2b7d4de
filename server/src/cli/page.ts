import { clip, displayWidth, printable } from './printable.ts';

/** What is printed: lines of pieces of text, some with a style. Colour is added in one place, from here. */
export type Style = 'strong' | 'faint' | 'error' | 'warning' | 'information' | 'good';

export type Piece = string | { readonly text: string; readonly style: Style };

export type Line = readonly Piece[];

export function styled(text: string, style: Style): Piece {
  return { text, style };
}

/** SGR parameters (ECMA-48, 8.3.117). */
const CODES: Readonly<Record<Style, string>> = {
  strong: '1',
  faint: '2',
  error: '1;31',
  warning: '33',
  information: '36',
  good: '32',
};

/**
 * The lines as text for a terminal or a file. Every piece is made printable on its way, so that nothing from a plan
 * reaches the terminal raw; the only control sequences are the colours added here.
 */
export function renderPage(lines: readonly Line[], colour: boolean): string {
  return lines.map((line) => `${renderLine(line, colour)}\n`).join('');
}

function renderLine(line: Line, colour: boolean): string {
  const parts = line.map((piece) => {
    if (typeof piece === 'string') return printable(piece);
    const text = printable(piece.text);
    return colour && text.trim() !== '' ? `\u001b[${CODES[piece.style]}m${text}\u001b[0m` : text;
  });
  return parts.join('').trimEnd();
}

/** Columns that a line takes. */
export function lineWidth(line: Line): number {
  return line.reduce((sum, piece) => sum + displayWidth(printable(textOf(piece))), 0);
}

/** A piece that takes at most `width` columns. */
export function clipPiece(piece: Piece, width: number): Piece {
  const text = clip(printable(textOf(piece)), width);
  return typeof piece === 'string' ? text : { text, style: piece.style };
}

function textOf(piece: Piece): string {
  return typeof piece === 'string' ? piece : piece.text;
}

/** Plain text broken at blanks into lines of at most `width` columns, all but the first indented by `indent`. */
export function wrap(text: string, width: number, indent = ''): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of printable(text).split(' ')) {
    if (word === '') continue;
    const longer = line === '' ? word : `${line} ${word}`;
    if (line.trim() !== '' && displayWidth(longer) > width) {
      lines.push(line);
      line = `${indent}${word}`;
    } else line = longer;
  }
  if (line !== '') lines.push(line);
  return lines;
}
