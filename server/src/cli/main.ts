/** The command line's entry: ties `run` to this process. */
import { parse } from 'node:path';
import { wantsColour } from './colour.ts';
import { nodeDisk } from './node-disk.ts';
import { run } from './run.ts';
import { runGit } from './run-git.ts';

const { stdout, stderr, env } = process;

// A reader that has seen enough (`festoon check … | head`) closes the pipe; that is no failure.
for (const stream of [stdout, stderr]) {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
}

process.exitCode = run(process.argv.slice(2), {
  out: (text) => stdout.write(text),
  err: (text) => stderr.write(text),
  disk: nodeDisk,
  git: runGit,
  cwd: currentFolder(),
  columns: stdout.isTTY === true ? stdout.columns : undefined,
  colour: wantsColour(stdout.isTTY === true, env),
});

/** A folder that was deleted under our feet has no path any more; relative names then lead nowhere. */
function currentFolder(): string {
  try {
    return process.cwd();
  } catch {
    return parse(process.execPath).root;
  }
}
