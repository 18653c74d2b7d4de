import { formatText } from '#grammar/format.ts';
import { sure } from '#grammar/sure.ts';

/** A replacement in the file that is formatted. */
export interface TextChange {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** The changes that bring a text into the one style: one for each group of lines that differ. */
export function formatChanges(text: string): TextChange[] {
  return lineChanges(text, formatText(text));
}

/** Beyond this many pairs of lines the middle is replaced as a whole: exact comparison would take too long. */
const MOST_PAIRS = 4_000_000;

/** Changes by whole lines, so that cursors and folds elsewhere stay where they are. */
export function lineChanges(before: string, after: string): TextChange[] {
  const [old, fresh] = [linesOf(before), linesOf(after)];
  let head = 0;
  while (head < old.length && head < fresh.length && old[head] === fresh[head]) head++;
  let tail = 0;
  while (
    tail < old.length - head &&
    tail < fresh.length - head &&
    old[old.length - 1 - tail] === fresh[fresh.length - 1 - tail]
  )
    tail++;
  const oldMiddle = old.slice(head, old.length - tail);
  const freshMiddle = fresh.slice(head, fresh.length - tail);
  const start = lengthOf(old.slice(0, head));
  if (oldMiddle.length * freshMiddle.length > MOST_PAIRS) {
    return [{ start, end: start + lengthOf(oldMiddle), text: freshMiddle.join('') }];
  }
  return changesOf(oldMiddle, freshMiddle, start);
}

/** Longest common subsequence of lines; what lies between its lines is changed. */
function changesOf(old: readonly string[], fresh: readonly string[], start: number): TextChange[] {
  const width = fresh.length + 1;
  const common = new Uint32Array((old.length + 1) * width);
  for (let i = old.length - 1; i >= 0; i--) {
    for (let j = fresh.length - 1; j >= 0; j--) {
      const down = sure(common[(i + 1) * width + j]);
      const right = sure(common[i * width + j + 1]);
      common[i * width + j] = old[i] === fresh[j] ? sure(common[(i + 1) * width + j + 1]) + 1 : Math.max(down, right);
    }
  }
  const changes: TextChange[] = [];
  let [i, j, at] = [0, 0, start];
  while (i < old.length || j < fresh.length) {
    if (i < old.length && j < fresh.length && old[i] === fresh[j]) {
      at += sure(old[i]).length;
      i++;
      j++;
      continue;
    }
    const from = at;
    let text = '';
    while ((i < old.length || j < fresh.length) && !(i < old.length && j < fresh.length && old[i] === fresh[j])) {
      const takeOld =
        j >= fresh.length || (i < old.length && sure(common[(i + 1) * width + j]) >= sure(common[i * width + j + 1]));
      if (takeOld) at += sure(old[i++]).length;
      else text += sure(fresh[j++]);
    }
    changes.push({ start: from, end: at, text });
  }
  return changes;
}

function linesOf(text: string): string[] {
  return text.match(/[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+$/g) ?? [];
}

function lengthOf(lines: readonly string[]): number {
  return lines.reduce((sum, line) => sum + line.length, 0);
}
