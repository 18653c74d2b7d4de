import { relative, sep } from 'node:path';
import type { Disk, RunGit } from './io.ts';

/**
 * The files of one revision of a git repository, at the paths that they have in its working tree; an empty revision means
 * what is staged. Read only. Throws as node:fs does.
 */
export function gitDisk(git: RunGit, top: string, revision: string): Disk {
  const objectOf = (path: string): string => `${revision}:${relative(top, path).split(sep).join('/')}`;
  const ask = (path: string, ...args: string[]): string | undefined => {
    const isOutside = relative(top, path).split(sep)[0] === '..';
    const answer = isOutside ? undefined : git(['cat-file', ...args, objectOf(path)], top);
    return answer === undefined ? undefined : new TextDecoder().decode(answer).trim();
  };
  // The top of the staged files is no object of its own.
  const typeOf = (path: string) => (relative(top, path) === '' ? 'tree' : ask(path, '-t'));
  const typeOrThrow = (path: string): string => {
    const type = typeOf(path) ?? (isStagedFolder(git, top, revision, path) ? 'tree' : undefined);
    if (type === undefined) throw failure('ENOENT');
    return type;
  };
  // A clone without all objects knows of files that it cannot show.
  const unreadable = (): never => {
    throw failure('EIO');
  };
  const refuse = () => {
    throw failure('EROFS');
  };
  return {
    realPath: (path) => {
      typeOrThrow(path);
      return path;
    },
    exists: (path) => path === `${top}${sep}.git` || typeOf(path) !== undefined,
    stat: (path) => {
      if (typeOrThrow(path) !== 'blob') return { kind: 'folder', size: 0 };
      return { kind: 'file', size: Number(ask(path, '-s') ?? unreadable()) };
    },
    read: (path) => {
      if (typeOrThrow(path) !== 'blob') throw failure('EISDIR');
      return git(['cat-file', 'blob', objectOf(path)], top) ?? unreadable();
    },
    list: (path) => namesIn(git, top, revision, path),
    replace: refuse,
    makeFolder: refuse,
    write: refuse,
  };
}

/** The names of the files right below a folder. */
function namesIn(git: RunGit, top: string, revision: string, path: string): string[] {
  const inside = relative(top, path).split(sep).join('/');
  const prefix = inside === '' ? '' : `${inside}/`;
  const args =
    revision === ''
      ? ['ls-files', '-z', '--cached', '--', prefix === '' ? '.' : prefix]
      : ['ls-tree', '-z', '--name-only', '--full-tree', revision, ...(prefix === '' ? [] : ['--', prefix])];
  const answer = git(args, top);
  if (answer === undefined) return [];
  return new TextDecoder()
    .decode(answer)
    .split('\0')
    .filter((name) => name.startsWith(prefix))
    .map((name) => name.slice(prefix.length))
    .filter((name) => name !== '' && !name.includes('/'));
}

function isStagedFolder(git: RunGit, top: string, revision: string, path: string): boolean {
  return revision === '' && namesIn(git, top, revision, path).length > 0;
}

function failure(code: string): Error {
  return Object.assign(new Error(code), { code });
}

/** Where the working tree of the repository that holds a folder begins; undefined outside of one. */
export function topOf(git: RunGit, folder: string): string | undefined {
  const answer = git(['rev-parse', '--show-toplevel'], folder);
  const top = answer === undefined ? '' : new TextDecoder().decode(answer).trim();
  return top === '' ? undefined : top;
}

/** A disk on which one file reads differently. */
export function overlaid(disk: Disk, path: string, bytes: Uint8Array): Disk {
  return {
    ...disk,
    realPath: (each) => (each === path ? each : disk.realPath(each)),
    exists: (each) => each === path || disk.exists(each),
    stat: (each) => (each === path ? { kind: 'file', size: bytes.length } : disk.stat(each)),
    read: (each) => (each === path ? bytes : disk.read(each)),
  };
}
