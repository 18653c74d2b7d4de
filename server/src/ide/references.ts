import type { Analysis } from '../analysis/analysis.ts';
import type { Origin } from '../model/finding.ts';
import { type FileSpan, fileIn, spanOf } from './file-span.ts';
import { declarationOf, namesOf } from './names.ts';
import { tokenAt } from './token-at.ts';

/** A place where a name stands. */
export interface Mention extends FileSpan {
  /** It is declared here; elsewhere it is used. */
  readonly declares: boolean;
}

/** Everywhere that the name at an offset stands, its declaration first. */
export function mentionsAt(analysis: Analysis, uri: string, offset: number): Mention[] {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, offset);
  const origin = token === undefined ? undefined : declarationOf(analysis, token);
  return origin === undefined ? [] : mentionsOf(analysis, origin);
}

export function mentionsOf(analysis: Analysis, declared: Origin): Mention[] {
  const place = (origin: Origin, declares: boolean): Mention[] => {
    const span = spanOf(analysis, origin);
    return span === undefined ? [] : [{ ...span, declares }];
  };
  const uses = namesOf(analysis).usesOf(declared);
  return [...place(declared, true), ...uses.flatMap((origin) => place(origin, false))];
}
