import type { StringLine } from './plan.ts';

/** Are these pixels always dark: in the wire only to pass the data on? */
export function isNull(line: StringLine): boolean {
  return line.keyword === 'null';
}
