import { URI } from 'vscode-uri';

/**
 * Clients escape the same address in different ways. Inside the server a file has one key: each segment of its path is
 * escaped fully, as the addresses are that `use` lines lead to.
 */
export function keyOf(uri: string): string {
  try {
    const { scheme, authority, path, query, fragment } = URI.parse(uri, true);
    const drive = /^\/[A-Z]:/.test(path) ? path.slice(0, 2).toLowerCase() + path.slice(2) : path;
    const where = authority === '' && !path.startsWith('/') ? '' : `//${authority}`;
    const tail = `${query === '' ? '' : `?${encodeURIComponent(query)}`}${fragment === '' ? '' : `#${encodeURIComponent(fragment)}`}`;
    return `${scheme}:${where}${drive.split('/').map(encodeURIComponent).join('/')}${tail}`;
  } catch {
    return uri;
  }
}

/** The address of a key as clients write it. Open documents keep the address under which they were opened. */
export function uriOf(key: string): string {
  try {
    return URI.parse(key, true).toString();
  } catch {
    return key;
  }
}

/** The scheme of an address or a key. */
export function schemeOf(uri: string): string {
  return uri.slice(0, Math.max(0, uri.indexOf(':')));
}

/** The key of a folder, ending with a slash. */
export function folderKeyOf(uri: string): string {
  const key = keyOf(uri);
  return key.endsWith('/') ? key : `${key}/`;
}
