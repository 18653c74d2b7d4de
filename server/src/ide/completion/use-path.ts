import { lineStart } from '#grammar/line-start.ts';
import type { SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import { resolveUse } from '../../analysis/resolve-use.ts';
import { pathsFrom } from '../relative-path.ts';
import type { Completion } from './complete.ts';

/** Files that a `use "…"` under the cursor may lead to; undefined where the cursor is in no such path. */
export function completeUsePath(
  file: SourceFile,
  offset: number,
  known: Iterable<string>,
  root: string,
): Completion | undefined {
  const { text, uri } = file;
  const typed = /^[ \t\f\v\u00a0\ufeff]*use[ \t\f\v\u00a0\ufeff]+"([^"]*)$/.exec(
    text.slice(lineStart(text, offset), offset),
  )?.[1];
  if (typed === undefined) return undefined;
  const rest = sure(/^[^"\r\n]*/.exec(text.slice(offset))?.[0]);
  const closed = text[offset + rest.length] === '"';
  const used = usedBy(file);
  const items = pathsFrom(uri, known, root).map(({ path, target }) => ({
    label: path,
    group: 'file' as const,
    kind: undefined,
    detail: used.has(target) ? 'used already' : '',
    documentation: undefined,
    text: closed ? path : `${path}"`,
    snippet: undefined,
    // Files of the own folder and below it first.
    rank: (used.has(target) ? 2 : 0) + (path.startsWith('..') ? 1 : 0),
  }));
  items.sort((a, b) => a.rank - b.rank || (a.label < b.label ? -1 : 1));
  const end = closed ? offset + rest.length : offset;
  return { start: offset - typed.length, end, wordEnd: end, items };
}

function usedBy({ text, uri }: SourceFile): Set<string> {
  const paths = [...text.matchAll(/^[ \t\f\v\u00a0\ufeff]*use[ \t\f\v\u00a0\ufeff]+"([^"\r\n]*)"/gm)];
  return new Set(paths.flatMap(([, path]) => resolveUse(uri, sure(path), '') ?? []));
}
