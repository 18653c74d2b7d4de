import { lineStart } from '#grammar/line-start.ts';
import { sure } from '#grammar/sure.ts';
import type { Edit, Origin } from '../model/finding.ts';
import type { Board, Output, Supply } from '../model/plan.ts';
import { rating } from '../model/texts.ts';
import { sameLine } from './outputs.ts';

/** An output and the fuse that it gets, A. */
interface Given {
  readonly number: number;
  readonly fuse: number;
}

/** Outputs that get a fuse, as lines of the plan: another rating where the output stands, a new line where it does not. */
export function outputEdits(owner: Supply | Board, given: readonly Given[]): Edit[] {
  const edits: Edit[] = [];
  const ranges = new Map<number, { line: Output[]; given: Given[] }>();
  const added: Given[] = [];
  for (const each of given) {
    const output = owner.outputs.get(each.number);
    const line = output === undefined ? [] : sameLine(owner, output);
    if (output?.fuse === undefined) added.push(each);
    else if (line.length === 1) edits.push({ origin: output.fuse.origin, text: rating(each.fuse) });
    else {
      const range = ranges.get(output.origin.start) ?? { line, given: [] };
      range.given.push(each);
      ranges.set(output.origin.start, range);
    }
  }
  for (const range of ranges.values()) edits.push(...shorten(range.line, range.given));
  if (added.length > 0) edits.push(newLines(owner, added));
  return edits;
}

/** `outputs 2 to 6  fuse 5 A` loses its last numbers to lines of their own behind it. */
function shorten(line: readonly Output[], given: readonly Given[]): Edit[] {
  const first = sure(line[0]);
  const fuse = sure(first.fuse);
  const { declaration, start, end } = first.origin;
  const kept = line.filter(({ number }) => !given.some((each) => each.number === number)).map(({ number }) => number);
  const text = declaration.text.slice(end, fuse.origin.start);
  const last = /\bto\s+(\d+)/.exec(text);
  if (last?.[1] === undefined) return [];
  const at = end + last.index + last[0].length;
  const indent = declaration.text.slice(lineStart(declaration.text, start), start);
  const blanks = sure(/^[ \t]*/.exec(text)?.[0]);
  const lines = [...given]
    .sort((a, b) => a.number - b.number)
    .map(({ number, fuse }) => `\n${indent}output ${blanks}${number}  fuse ${rating(fuse)}`);
  return [
    { origin: { ...first.origin, start: at - last[1].length, end: at }, text: String(Math.max(...kept)) },
    { origin: endOf(fuse.origin), text: lines.join('') },
  ];
}

/** Lines at the end of the block, their columns as those of the lines above; a block where there is none. */
function newLines({ whole }: Supply | Board, added: readonly Given[]): Edit {
  const text = whole.declaration.text.slice(0, whole.end);
  const lines = (lead: string) => added.map(({ number, fuse }) => `${lead}${number}  fuse ${rating(fuse)}\n`).join('');
  if (!text.trimEnd().endsWith('}')) return { origin: endOf(whole), text: ` {\n${lines('  output ')}}` };
  const start = lineStart(text, text.length);
  const body = text.slice(whole.start, start);
  const lead =
    /^([ \t]*output[ \t]+)\d/m.exec(body)?.[1] ??
    `  ${'output'.padEnd(Math.max(6, (/^[ \t]*([a-z]\S*[ \t]+)/m.exec(body.slice(body.indexOf('{') + 1))?.[1]?.length ?? 0) - 1))} `;
  return { origin: { ...whole, start, end: start }, text: lines(lead) };
}

/** The place behind a statement and the comment on its line. */
export function behind(origin: Origin): Origin {
  const { text } = origin.declaration;
  const comment = /^[ \t]*#[^\r\n]*/.exec(text.slice(origin.end))?.[0].length ?? 0;
  return { ...origin, start: origin.end + comment, end: origin.end + comment };
}

/** The place right behind a piece of text. */
export function endOf(origin: Origin): Origin {
  return { ...origin, start: origin.end };
}
