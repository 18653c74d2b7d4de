import type { SourceFile } from '#grammar/source.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { offsetsOf } from '../analysis/host.ts';
import type { Origin } from '../model/finding.ts';

/** A span of a file in UTF-16 offsets: what features answer with. */
export interface FileSpan {
  readonly uri: string;
  readonly start: number;
  readonly end: number;
}

/** A replacement in a file. */
export interface FileEdit extends FileSpan {
  readonly text: string;
}

const byUri = new WeakMap<Analysis, ReadonlyMap<string, SourceFile>>();

/** The file as the analysis saw it, or undefined where it is not part of the plan. */
export function fileIn(analysis: Analysis, uri: string): SourceFile | undefined {
  let files = byUri.get(analysis);
  if (files === undefined) {
    files = new Map(analysis.files.map((file) => [file.uri, file]));
    byUri.set(analysis, files);
  }
  return files.get(uri);
}

/** Where an origin stands in its file; undefined where the declaration is not part of the analysis. */
export function spanOf(analysis: Analysis, origin: Origin): FileSpan | undefined {
  const file = fileIn(analysis, origin.uri);
  const at = file === undefined ? undefined : offsetsOf(file, origin);
  return at === undefined ? undefined : { uri: origin.uri, ...at };
}

/** Do two spans share a character, or touch where one of them is empty? */
export function overlaps(a: { start: number; end: number }, b: { start: number; end: number }): boolean {
  return a.start <= b.end && b.start <= a.end;
}
