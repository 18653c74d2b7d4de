import type { Position, Range } from 'vscode-languageserver';
import { sure } from '#grammar/sure.ts';

/** How a client counts characters within a line; inside the server everything is UTF-16 code units. */
export type Encoding = 'utf-8' | 'utf-16' | 'utf-32';

/**
 * Lines of a text, to turn offsets into positions and back. A line ends with CR LF, LF or CR. Positions that no text has
 * are moved to the nearest one that there is: a client may be wild or a moment ahead.
 */
export class LineIndex {
  readonly text: string;
  private readonly starts: Int32Array;
  private readonly encoding: Encoding;

  /** `starts` may be given where they are known. */
  constructor(text: string, encoding: Encoding, starts = Int32Array.from(lineStarts(text, 0, text.length))) {
    this.text = text;
    this.encoding = encoding;
    this.starts = starts;
  }

  /** The index after a replacement. Only the lines that it touches are read anew, and the one before: a CR may meet a LF. */
  edited(start: number, end: number, put: string): LineIndex {
    const text = this.text.slice(0, start) + put + this.text.slice(end);
    const shift = put.length - (end - start);
    const first = Math.max(0, this.lineOf(start) - 1);
    const next = this.lineOf(end) + 1;
    const until = this.starts[next];
    const fresh = lineStarts(text, sure(this.starts[first]), until === undefined ? text.length : until + shift);
    // The last fresh start is that of the line which follows the touched ones.
    const rest = Math.min(next + 1, this.starts.length);
    const starts = new Int32Array(first + fresh.length + this.starts.length - rest);
    starts.set(this.starts.subarray(0, first));
    starts.set(fresh, first);
    let at = first + fresh.length;
    for (let line = rest; line < this.starts.length; line++) starts[at++] = sure(this.starts[line]) + shift;
    return new LineIndex(text, this.encoding, starts);
  }

  get lineCount(): number {
    return this.starts.length;
  }

  positionAt(offset: number): Position {
    const at = Math.min(Math.max(0, offset), this.text.length);
    const line = this.lineOf(at);
    const start = sure(this.starts[line]);
    const end = Math.min(at, this.lineEnd(line));
    // Counted in code units, nothing has to be cut out of the text: an outline has tens of thousands of positions.
    const character = this.encoding === 'utf-16' ? end - start : widthOf(this.text.slice(start, end), this.encoding);
    return { line, character };
  }

  offsetAt({ line, character }: Position): number {
    if (!(line >= 0)) return 0;
    const start = this.starts[Math.floor(line)];
    if (start === undefined) return this.text.length;
    const end = this.lineEnd(Math.floor(line));
    if (!(character > 0)) return start;
    return start + unitsFor(this.text.slice(start, end), character, this.encoding);
  }

  rangeOf(start: number, end: number): Range {
    return { start: this.positionAt(start), end: this.positionAt(end) };
  }

  /** Offsets of a range, the smaller first. */
  spanOf({ start, end }: Range): { start: number; end: number } {
    const [a, b] = [this.offsetAt(start), this.offsetAt(end)];
    return { start: Math.min(a, b), end: Math.max(a, b) };
  }

  lineOf(offset: number): number {
    let low = 0;
    let high = this.starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (sure(this.starts[middle]) <= offset) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  /** Offset of the end of a line, its line break left out. */
  private lineEnd(line: number): number {
    let end = this.starts[line + 1] ?? this.text.length;
    const start = sure(this.starts[line]);
    while (end > start && (this.text[end - 1] === '\n' || this.text[end - 1] === '\r')) end--;
    return end;
  }
}

/** Where lines start from one line's start to an end that is the start of another line or the end of the text. */
function lineStarts(text: string, from: number, end: number): number[] {
  const starts = [from];
  for (let at = from; at < end; at++) {
    const unit = text.charCodeAt(at);
    if (unit === 13 && text.charCodeAt(at + 1) === 10) at++;
    if (unit === 10 || unit === 13) starts.push(at + 1);
  }
  return starts;
}

/** Length of a text as the client counts it. */
function widthOf(text: string, encoding: Exclude<Encoding, 'utf-16'>): number {
  let width = 0;
  for (const character of text) width += encoding === 'utf-32' ? 1 : bytesOf(character);
  return width;
}

/** UTF-16 code units in front of a column; a column inside a character counts as in front of it. */
function unitsFor(line: string, column: number, encoding: Encoding): number {
  if (encoding === 'utf-16') {
    const units = Math.min(Math.floor(column), line.length);
    return insidePair(line, units) ? units - 1 : units;
  }
  let left = column;
  let units = 0;
  for (const character of line) {
    left -= encoding === 'utf-32' ? 1 : bytesOf(character);
    if (left < 0) break;
    units += character.length;
  }
  return units;
}

function insidePair(text: string, at: number): boolean {
  const [before, behind] = [text.charCodeAt(at - 1), text.charCodeAt(at)];
  return before >= 0xd800 && before <= 0xdbff && behind >= 0xdc00 && behind <= 0xdfff;
}

function bytesOf(character: string): number {
  const point = sure(character.codePointAt(0));
  if (point < 0x80) return 1;
  if (point < 0x800) return 2;
  return point < 0x10000 ? 3 : 4;
}
