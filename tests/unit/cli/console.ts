/** The command line with a world in memory: files, folders, links, a terminal or none. */
import { posix } from 'node:path';
import type { Disk, Exit, RunGit } from '#server/cli/io.ts';
import type { Transmission } from '#server/cli/light/transmission.ts';
import { run } from '#server/cli/run.ts';

/** A file's text or bytes, or where a symbolic link leads. Folders are there because something lies in them. */
export type Entry = string | Uint8Array | { readonly link: string };

export interface Outcome {
  readonly exit: Exit;
  readonly out: string;
  readonly err: string;
}

export interface World {
  readonly files: Readonly<Record<string, Entry>>;
  readonly cwd?: string;
  readonly columns?: number;
  readonly colour?: boolean;
  readonly git?: RunGit;
  /** Whether nothing can be written. */
  readonly readOnly?: boolean;
  readonly transmit?: (transmission: Transmission) => void;
}

/** Runs one command line in a world; files that it changes are changed in `files` of the answer. */
export function festoon(args: readonly string[], world: World): Outcome & { readonly files: Map<string, Entry> } {
  const files = new Map(Object.entries(world.files));
  let [out, err] = ['', ''];
  const exit = run(args, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    disk: memoryDisk(files, world.readOnly === true),
    git: world.git ?? (() => undefined),
    transmit:
      world.transmit ??
      (() => {
        throw new Error('this world has no network');
      }),
    cwd: world.cwd ?? '/plans',
    columns: world.columns,
    errIsTerminal: false,
    colour: world.colour ?? false,
  });
  return { exit, out, err, files };
}

function memoryDisk(files: Map<string, Entry>, readOnly: boolean): Disk {
  const isFolder = (path: string) => path === '/' || [...files.keys()].some((file) => file.startsWith(`${path}/`));
  const realPath = (path: string): string => {
    let at = '';
    let left = path.split('/').slice(1);
    for (let steps = 0; left.length > 0; steps++) {
      if (steps > 100) throw failure('ELOOP');
      const [name = '', ...rest] = left;
      at = posix.join(at === '' ? '/' : at, name);
      const entry = files.get(at);
      left = rest;
      if (typeof entry === 'object' && 'link' in entry) {
        left = [...posix.resolve(posix.dirname(at), entry.link).split('/').slice(1), ...rest];
        at = '';
      }
    }
    const found = at === '' ? '/' : at;
    if (!files.has(found) && !isFolder(found)) throw failure('ENOENT');
    return found;
  };
  const read = (path: string): Uint8Array => {
    const real = realPath(path);
    const entry = files.get(real);
    if (entry === undefined) throw failure('EISDIR');
    if (entry === LOCKED) throw failure('EACCES');
    return typeof entry === 'string' ? new TextEncoder().encode(entry) : (entry as Uint8Array);
  };
  return {
    realPath,
    exists: (path) => files.has(path) || isFolder(path),
    stat: (path) => {
      const real = realPath(path);
      const entry = files.get(real);
      if (entry === undefined) return { kind: 'folder', size: 0 };
      if (entry === PIPE) return { kind: 'other', size: 0 };
      return { kind: 'file', size: entry === LOCKED ? 1 : read(real).length };
    },
    read,
    list: (path) => [
      ...new Set(
        [...files.keys()]
          .filter((file) => file.startsWith(`${path}/`))
          .map((file) => file.slice(path.length + 1).split('/')[0] ?? ''),
      ),
    ],
    replace: (path, text) => {
      if (readOnly) throw failure('EROFS');
      files.set(realPath(path), text);
    },
    makeFolder: (path) => {
      for (let at = path; at !== '/'; at = posix.dirname(at)) if (files.has(at)) throw failure('ENOTDIR');
    },
    write: (path, text) => {
      if (isFolder(path)) throw failure('EISDIR');
      files.set(path, text);
    },
  };
}

/** A file that may not be read, and one that is a pipe. */
export const LOCKED = new Uint8Array([1]);
export const PIPE = new Uint8Array([2]);

function failure(code: string): Error {
  return Object.assign(new Error(code), { code });
}

/**
 * A small sound plan that can be reckoned by hand: ten pixels that hold 60 mA, 10 m of 2.5 mm2 to the first one.
 * 2.5 mm2 has 7.98 mohm/m (IEC 60228 class 5), the string is cut so that its wire hardly matters.
 */
export const SMALL = `plan "Porch" {
  frame-rate 40 fps
}

part pixel bullet {
  voltage 12 V
  least   11 V
  red     60 mA  knee 6 V  dark 5 V
  idle    0 mA
  wire    2.5 mm2
}

part cable pair {
  conductor 2.5 mm2
  carries   V+ ground
}

part supply small {
  voltage 12 V
  rated   5 A
  droop   0 mohm
}

part controller board {
  ports 4
}

place shed
place porch
route shed to porch  9 m  limit 2 cables

circuit garden  15 A  120 V

supply psu  of small  at shed  on garden {
  output 1  fuse 2 A  cold 50 mohm
}

controller box  of board  at shed

run porch-edge  from box.1 {
  string edge  10 px  of bullet  every 100 mm
}

feed porch-feed  from psu.1  to porch-edge  along shed to porch  of pair
`;
