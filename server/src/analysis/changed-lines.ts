import { sure } from '#grammar/sure.ts';

/** Lines that go at an offset of the old text, and those that come in their place, each with its end. */
export interface LinesChange {
  readonly start: number;
  readonly gone: readonly string[];
  readonly come: readonly string[];
}

/**
 * What makes one text of another, line by line. Lines that both have in the same order stay; it is not always the least that
 * could change, but what is only put in is found as such.
 */
export function changesOf(before: string, after: string): LinesChange[] {
  const [then, now] = [linesOf(before), linesOf(after)];
  const left = new Map<string, number>();
  for (const line of now) left.set(line, (left.get(line) ?? 0) + 1);
  const changes: { start: number; gone: string[]; come: string[] }[] = [];
  let change: (typeof changes)[number] | undefined;
  let [at, offset] = [0, 0];
  const here = () => {
    if (change === undefined) {
      change = { start: offset, gone: [], come: [] };
      changes.push(change);
    }
    return change;
  };
  // What the new text has no more is gone; what is not next in the old one is new.
  const skipGone = () => {
    for (; at < then.length && (left.get(sure(then[at])) ?? 0) === 0; at++) {
      here().gone.push(sure(then[at]));
      offset += sure(then[at]).length;
    }
  };
  for (const line of now) {
    skipGone();
    left.set(line, sure(left.get(line)) - 1);
    if (line === then[at]) {
      at++;
      offset += line.length;
      change = undefined;
    } else here().come.push(line);
  }
  skipGone();
  return changes;
}

/** With their ends; the last one may have none. */
function linesOf(text: string): string[] {
  return text.match(/[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+$/g) ?? [];
}
