import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname } from 'node:path';
import type { Disk } from './io.ts';

/** The real file system. */
export const nodeDisk: Disk = {
  realPath: (path) => realpathSync(path),
  stat: (path) => {
    const stats = statSync(path);
    return { size: stats.size, kind: stats.isFile() ? 'file' : stats.isDirectory() ? 'folder' : 'other' };
  },
  exists: (path) => existsSync(path),
  read: (path) => readFileSync(path),
  list: (path) => readdirSync(path),
  replace: (path, text) => {
    const target = realpathSync(path);
    writeInOneStep(target, text, statSync(target).mode);
  },
  makeFolder,
  write: (path, text) => writeInOneStep(path, text),
};

/** Step by step: Node's own recursion never ends below a folder that takes no new ones and says ENOENT, such as /proc. */
function makeFolder(path: string): void {
  const above = dirname(path);
  if (above !== path && !existsSync(above)) makeFolder(above);
  try {
    mkdirSync(path);
  } catch (error) {
    if (statSync(path, { throwIfNoEntry: false })?.isDirectory() !== true) throw error;
  }
}

function writeInOneStep(target: string, text: string, mode?: number): void {
  const draft = `${target}.${process.pid}.tmp`;
  try {
    writeFileSync(draft, text, { mode });
    renameSync(draft, target);
  } catch (error) {
    rmSync(draft, { force: true });
    throw error;
  }
}
