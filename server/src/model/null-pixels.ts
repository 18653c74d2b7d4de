import type { StringLine, StringPiece } from './plan.ts';

/** Are these pixels always dark: in the wire only to pass the data on? */
export function isNull(line: StringLine): boolean {
  return line.keyword === 'null';
}

/** V that each pixel of a string needs for true white; undefined where nothing is asked of it, since it never lights. */
export function neededVolts({ line, part }: StringPiece): number | undefined {
  return isNull(line) ? undefined : part.least.value;
}
