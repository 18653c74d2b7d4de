import type { Level } from '../model/finding.ts';
import { count } from '../model/texts.ts';
import type { Counts, PlacedFinding } from './findings.ts';
import { type Line, type Piece, styled, wrap } from './page.ts';
import { lineText } from './place.ts';
import { displayWidth, printable } from './printable.ts';

/** More findings than these help nobody; the number of the others is told. */
const MOST_SHOWN = 200;

export type NameOf = (uri: string) => string;

/** Findings for a person: place, level, code, message, the line with the word underlined, and the places that take part. */
export function renderFindings(findings: readonly PlacedFinding[], nameOf: NameOf, width: number): Line[] {
  const shown = findings.slice(0, MOST_SHOWN);
  const lines = shown.flatMap((finding) => [...renderFinding(finding, nameOf, width), []]);
  const left = findings.length - shown.length;
  if (left > 0) lines.push([`… and ${count(left, 'more finding')}: mend these first.`], []);
  return lines;
}

function renderFinding(placed: PlacedFinding, nameOf: NameOf, width: number): Line[] {
  const { finding, level, file, place, related } = placed;
  const at = `${nameOf(file.uri)}:${place.line}:${place.column}`;
  const gutter = String(Math.max(place.line, ...related.map((other) => other.place.line))).length;
  const lines: Line[] = [
    [styled(at, 'strong'), '  ', styled(level, level), '  ', styled(finding.code, 'faint')],
    ...wrap(finding.message, width - 2).map((text): Line => [`  ${text}`]),
    ...excerpt(placed, gutter, width),
  ];
  for (const other of related) {
    const where = other.file === file ? `line ${other.place.line}` : `${nameOf(other.file.uri)}:${other.place.line}`;
    lines.push([styled(`  ${' '.repeat(gutter)} > `, 'faint'), `${where}: `, other.message]);
  }
  return lines;
}

/** The line of a finding with its word underlined; of a long line only the part around the word. */
function excerpt({ file, place, level }: PlacedFinding, gutter: number, width: number): Line[] {
  const text = lineText(file, place.line);
  const end = place.endLine === place.line ? place.endColumn - 1 : text.length;
  const room = Math.max(20, width - gutter - 6);
  const { before, word, after } = clipAround(text, place.column - 1, Math.max(end, place.column - 1), room);
  const number = String(place.line).padStart(gutter);
  const empty = ' '.repeat(gutter);
  return [
    [styled(`  ${number} | `, 'faint'), before, word, after],
    [
      styled(`  ${empty} | `, 'faint'),
      ' '.repeat(displayWidth(before)),
      styled('^'.repeat(Math.max(1, displayWidth(word))), level),
    ],
  ];
}

interface Excerpt {
  readonly before: string;
  readonly word: string;
  readonly after: string;
}

/** Cuts a line so that the word and some of what surrounds it fit; all parts are printable. */
function clipAround(text: string, start: number, end: number, room: number): Excerpt {
  const indent = Math.min(text.length - text.trimStart().length, start);
  const word = clipEnd(printable(text.slice(start, Math.min(end, start + room))), room);
  const isNear = start - indent <= room && displayWidth(printable(text.slice(indent, start)) + word) <= room;
  const from = isNear ? indent : Math.max(indent, start - Math.floor(room / 2));
  const lead = `${isNear ? '' : '…'}${printable(text.slice(from, start))}`;
  const before = displayWidth(lead + word) > room ? '…' : lead;
  const left = room - displayWidth(before) - displayWidth(word);
  const after = clipEnd(printable(text.slice(end, end + Math.max(0, left) + 1).trimEnd()), left);
  return { before, word, after };
}

function clipEnd(text: string, room: number): string {
  if (displayWidth(text) <= room) return text;
  return room < 1 ? '' : `${[...text].slice(0, room - 1).join('')}…`;
}

/** "2 errors, 1 warning", each in its colour; "No findings." where there are none. */
export function renderCounts(counts: Counts): Line {
  const said = (['error', 'warning', 'information'] as const).flatMap((level): Piece[] =>
    counts[level] === 0 ? [] : [styled(NAMES[level](counts[level]), level)],
  );
  if (said.length === 0) return [styled('No findings.', 'good')];
  return said.flatMap((piece, index) => (index === 0 ? [piece] : [', ', piece]));
}

const NAMES: Readonly<Record<Level, (value: number) => string>> = {
  error: (value) => count(value, 'error'),
  warning: (value) => count(value, 'warning'),
  information: (value) => count(value, 'note'),
};
