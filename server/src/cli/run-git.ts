import { execFileSync } from 'node:child_process';
import type { RunGit } from './io.ts';

/** More than this no plan has, nor any answer that is asked for. */
const MOST_BYTES = 64 * 1024 * 1024;

/** Asks git, the program on the PATH. What may be a revision or a path from the command line stands in one argument. */
export const runGit: RunGit = (args, folder) => {
  try {
    return execFileSync('git', args, { cwd: folder, maxBuffer: MOST_BYTES, stdio: ['ignore', 'pipe', 'ignore'] });
  } catch {
    return undefined;
  }
};
