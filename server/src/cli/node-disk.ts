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
  makeFolder: (path) => {
    mkdirSync(path, { recursive: true });
  },
  write: (path, text) => writeInOneStep(path, text),
};

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
