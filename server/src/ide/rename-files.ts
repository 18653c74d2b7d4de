import type { SourceFile } from '#grammar/source.ts';
import { resolveUse } from '../analysis/resolve-use.ts';
import { bindDeclaration } from '../model/declarations.ts';
import type { FileEdit } from './file-span.ts';
import { relativePath } from './relative-path.ts';

/** A file or folder that gets another address. */
export interface Move {
  readonly from: string;
  readonly to: string;
}

/** The edits of `use` paths, in the files as they still stand, that keep every path leading to the same file. */
export function useEditsFor(files: Iterable<SourceFile>, moves: readonly Move[]): FileEdit[] {
  return [...files].flatMap((file) =>
    file.declarations.flatMap((declaration) =>
      bindDeclaration(file, declaration).statements.flatMap((statement): FileEdit[] => {
        const path = statement.word === 'use' ? statement.fields.file : undefined;
        const target = path === undefined ? undefined : resolveUse(file.uri, path.value, '');
        if (path === undefined || target === undefined) return [];
        const [here, there] = [moved(file.uri, moves), moved(target, moves)];
        if (here === file.uri && there === target) return [];
        const fresh = relativePath(here, there);
        if (fresh === undefined || resolveUse(here, path.value, '') === there) return [];
        const base = file.offsets.of(declaration);
        return [{ uri: file.uri, start: base + path.origin.start, end: base + path.origin.end, text: `"${fresh}"` }];
      }),
    ),
  );
}

function moved(uri: string, moves: readonly Move[]): string {
  for (const { from, to } of moves) {
    if (uri === from) return to;
    if (uri.startsWith(`${from}/`)) return to + uri.slice(from.length);
  }
  return uri;
}
