import type { Analysis } from '../analysis/analysis.ts';
import { resolveUse } from '../analysis/resolve-use.ts';
import { type FileSpan, fileIn, spanOf } from './file-span.ts';
import type { Token } from './token-at.ts';

/** The path of a `use` line, with the file that it leads to. */
export interface FileLink extends FileSpan {
  readonly target: string;
  readonly path: string;
}

/** All `use` paths of a file that lead somewhere inside the plan. */
export function linksOf(analysis: Analysis, uri: string): FileLink[] {
  return analysis.statements.flatMap((statement): FileLink[] => {
    if (statement.word !== 'use' || statement.fields.file === undefined || statement.fields.file.origin.uri !== uri)
      return [];
    const { origin, value } = statement.fields.file;
    const span = spanOf(analysis, origin);
    const target = resolveUse(uri, value, '');
    if (span === undefined || target === undefined || fileIn(analysis, target) === undefined) return [];
    return [{ ...span, start: span.start + 1, end: Math.max(span.start + 1, span.end - 1), target, path: value }];
  });
}

export function linkAt(analysis: Analysis, token: Token): FileLink | undefined {
  if (token.item.kind !== 'text') return undefined;
  const start = token.base + token.span.start;
  return linksOf(analysis, token.file.uri).find(
    (link) => link.start >= start && link.end <= token.base + token.span.end,
  );
}
