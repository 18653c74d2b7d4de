import { readdir, readFile, realpath, stat } from 'node:fs/promises';
import { join, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { Disk } from './files.ts';

const LARGEST_FILE_BYTES = 4 * 1024 * 1024;
const MOST_FILES = 2000;
const MOST_DEEP = 8;

/** The file system of this machine. Nothing outside the given folders is read, also not through links. */
export const localDisk: Disk = {
  async read(uri, folders) {
    if (!uri.startsWith('file:')) return undefined;
    const path = await realpath(fileURLToPath(uri));
    const homes = await Promise.all(
      folders.filter((folder) => folder.startsWith('file:')).map((folder) => realpath(fileURLToPath(folder))),
    );
    if (!homes.some((home) => path.startsWith(home.endsWith(sep) ? home : home + sep))) return undefined;
    const { size } = await stat(path);
    if (size > LARGEST_FILE_BYTES) return undefined;
    return new TextDecoder('utf-8', { fatal: true }).decode(await readFile(path));
  },
  async list(folder) {
    const found: string[] = [];
    if (folder.startsWith('file:')) await walk(fileURLToPath(folder), 0, found);
    return found.map((path) => pathToFileURL(path).href);
  },
};

async function walk(folder: string, depth: number, found: string[]): Promise<void> {
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  for (const entry of entries) {
    if (found.length >= MOST_FILES) return;
    if (entry.isFile() && entry.name.endsWith('.festoon')) found.push(join(folder, entry.name));
    const skipped = entry.name.startsWith('.') || entry.name === 'node_modules';
    if (entry.isDirectory() && !skipped && depth < MOST_DEEP) await walk(join(folder, entry.name), depth + 1, found);
  }
}
