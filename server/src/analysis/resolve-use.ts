import { sure } from '#grammar/sure.ts';

/**
 * The file that a `use` line names, as a URI, or undefined where it lies outside the folder of the display.
 * `from` is the URI of the file with the line, `folder` a URI that ends with a slash. Only plain relative paths with
 * forward slashes are meant; drive letters, schemes and absolute paths lie outside.
 */
export function resolveUse(from: string, path: string, folder: string): string | undefined {
  const clean = path.replaceAll('\\', '/').trim();
  if (LONE_SURROGATE.test(clean)) return undefined;
  if (clean === '' || clean.startsWith('/') || /^[a-z][a-z0-9+.-]*:/i.test(clean)) return undefined;
  const split = /^([a-z][a-z0-9+.-]*:\/\/[^/]*)(\/.*)?$/i.exec(from);
  if (split === null) return undefined;
  const segments = (split[2] ?? '/').split('/').slice(0, -1);
  for (const segment of clean.split('/')) {
    if (segment === '' || segment === '.') continue;
    if (segment === '..') {
      if (segments.length <= 1) return undefined;
      segments.pop();
    } else segments.push(encodeURIComponent(segment));
  }
  const target = `${sure(split[1])}${segments.join('/')}`;
  return target.startsWith(folder) ? target : undefined;
}

/** Half a character: no file has such a name, and no URI can hold it. */
const LONE_SURROGATE = /\p{Cs}/u;
