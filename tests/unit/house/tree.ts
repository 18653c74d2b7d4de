/** The project's own files, as git sees them. */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../../..', import.meta.url)).replace(/[\\/]$/, '');

/** Every file that is or would be committed, as paths from the root with forward slashes. */
export function projectFiles(): string[] {
  const list = ['ls-files', '--cached', '--others', '--exclude-standard', '-z'];
  const names = execFileSync('git', list, { cwd: root, encoding: 'utf8' }).split('\0').filter(Boolean);
  return [...new Set(names)].filter((name) => existsSync(join(root, name)));
}

export const readText = (name: string): string => readFileSync(join(root, name), 'utf8');
