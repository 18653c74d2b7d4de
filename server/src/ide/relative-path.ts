import { sure } from '#grammar/sure.ts';
import { resolveUse } from '../analysis/resolve-use.ts';

/** The path that leads from one file to another, as a `use` line writes it; undefined where no relative path does. */
export function relativePath(from: string, to: string): string | undefined {
  const [a, b] = [split(from), split(to)];
  if (a === undefined || b === undefined || a.home !== b.home) return undefined;
  const folder = a.segments.slice(0, -1);
  let same = 0;
  while (same < folder.length && same < b.segments.length - 1 && folder[same] === b.segments[same]) same++;
  try {
    const down = b.segments.slice(same).map(decodeURIComponent);
    // A quote would end the path, and a backslash reads as a slash.
    if (down.some((segment) => /["\\/\r\n]/.test(segment))) return undefined;
    return [...folder.slice(same).map(() => '..'), ...down].join('/');
  } catch {
    return undefined;
  }
}

/** The paths that a `use` line of a file may name: they lead to known files inside a folder, and not to the file itself. */
export function pathsFrom(from: string, known: Iterable<string>, folder: string): { path: string; target: string }[] {
  return [...known].flatMap((target) => {
    const path = target === from ? undefined : relativePath(from, target);
    return path === undefined || resolveUse(from, path, folder) !== target ? [] : [{ path, target }];
  });
}

function split(uri: string): { home: string; segments: string[] } | undefined {
  const found = /^([a-z][a-z0-9+.-]*:\/\/[^/]*)\/(.*)$/i.exec(uri);
  return found === null ? undefined : { home: sure(found[1]), segments: sure(found[2]).split('/') };
}
