#!/usr/bin/env node
/** The command line's entry: ties `run` to this process. */
import { parse } from 'node:path';
import { wantsColour } from './colour.ts';
import { transmit } from './light/transmit.ts';
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

const out = (text: string) => void stdout.write(text);
const err = (text: string) => void stderr.write(text);

process.exitCode = run(process.argv.slice(2), {
  out,
  err,
  disk: nodeDisk,
  git: runGit,
  transmit: (transmission) => transmit(transmission, { out, err }),
  cwd: currentFolder(),
  columns: stdout.isTTY === true ? stdout.columns : undefined,
  errIsTerminal: stderr.isTTY === true,
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
