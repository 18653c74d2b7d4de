import { lineStart } from '#grammar/line-start.ts';
import { sure } from '#grammar/sure.ts';
import type { Edit, Origin } from '../model/finding.ts';
import type { CutPiece, Run } from '../model/plan.ts';

/** A line of a run that V+ can be cut above. */
export interface CutJoint {
  /** Where its line starts, behind the blanks. */
  readonly origin: Origin;
  /** What a person calls what the line holds; no other line of the run goes by that. */
  readonly text: string;
}

const MOST_JOINTS = 23;

/** The starts of all lines of a run but the first string's; a cut is a line of its own. */
export function cutJoints(run: Run): CutJoint[] {
  return allCutJoints(run).slice(1);
}

/** The first string's as well: a cut there leaves nothing of V+ to the run. */
export function allCutJoints(run: Run): CutJoint[] {
  const lines = linesOf(run);
  return lines.slice(0, MOST_JOINTS + 1).map(({ origin, name, first }) => {
    const isUnique = name !== undefined && lines.filter((line) => line.name === name).length === 1;
    return { origin, text: isUnique ? name : `pixel ${first}` };
  });
}

/** Lines of the run's own block that hold pixels. Two of them may be copies of the same prop, by its name. */
function linesOf(run: Run) {
  const found: { readonly origin: Origin; readonly name: string | undefined; readonly first: number }[] = [];
  let last: number | undefined;
  for (const piece of run.pieces) {
    if (piece.kind !== 'string') continue;
    const { text } = piece.origin.declaration;
    let start = lineStart(text, piece.origin.start);
    while (text[start] === ' ' || text[start] === '\t') start++;
    if (start === last) continue;
    last = start;
    const name = piece.copies?.name ?? piece.element;
    found.push({ origin: { ...piece.origin, start, end: start }, name, first: piece.first });
  }
  return found;
}

/** A cut above a line, in the column of that line; `behind` is what else stands on it. */
export function cutAbove({ origin }: CutJoint, behind = ''): Edit {
  const column = sure(/^\S*[ \t]*/.exec(origin.declaration.text.slice(origin.start))?.[0]).length;
  return { origin, text: `${'cut'.padEnd(column - 1)} V+${behind}\n  ` };
}

/** Takes the line of a cut out, and gives what stands behind the cut on it; undefined where it holds more than that. */
export function withoutCut({ origin }: CutPiece): { readonly edit: Edit; readonly behind: string } | undefined {
  const { text } = origin.declaration;
  const start = lineStart(text, origin.start);
  const line = /^[ \t]*cut[ \t]+V\+([ \t]*(?:#[^\r\n]*)?)(?:\r\n|\r|\n)/.exec(text.slice(start));
  if (line === null) return undefined;
  return { edit: { origin: { ...origin, start, end: start + line[0].length }, text: '' }, behind: sure(line[1]) };
}
