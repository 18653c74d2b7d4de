/**
 * `node tests/fuzz/long.mjs inputs|edits|fixes|protocol [COUNT] [SEED]`: the long run before a release, in chunks with a seed each. What
 * fails is written as a line of JSON with its input, and the run goes on. Exit code 1 when anything failed or nothing ran.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const CHUNK = 20_000;
const [subject = 'inputs', count = '1000000', firstSeed = '1'] = process.argv.slice(2);

/** Samples and fixtures are found from the address of the file that reads them. */
const addresses = {
  name: 'addresses',
  setup: ({ onLoad }) =>
    onLoad({ filter: /tests[\\/]support[\\/].*\.ts$/ }, ({ path }) => ({
      contents: readFileSync(path, 'utf8').replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href)),
      loader: 'ts',
    })),
};

const folder = mkdtempSync(join(tmpdir(), 'festoon-fuzz-'));
const bundle = join(folder, 'long-run.mjs');
let [done, failed, seconds] = [0, 0, 0];
try {
  await build({
    entryPoints: [fileURLToPath(new URL('../support/fuzz/long-run.ts', import.meta.url))],
    outfile: bundle,
    bundle: true,
    platform: 'node',
    format: 'esm',
    plugins: [addresses],
    logLevel: 'warning',
  });
  for (let seed = Number(firstSeed); done < Number(count); seed++) {
    const size = Math.min(CHUNK, Number(count) - done);
    const { stdout, status } = spawnSync(process.execPath, [bundle, subject, String(seed), String(size)], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'inherit'],
      maxBuffer: 2 ** 30,
    });
    process.stdout.write(stdout);
    const outcome = status === 0 ? JSON.parse(stdout.trim().split('\n').at(-1)) : undefined;
    if (!(outcome?.done > 0)) throw new Error(`the chunk of seed ${seed} ended with code ${status}`);
    done += outcome.done;
    failed += outcome.failed;
    seconds += outcome.seconds;
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
  console.log(`${subject}: ${done} done, ${failed} failed, ${seconds} s of processor time`);
}
process.exitCode = failed > 0 || done === 0 ? 1 : 0;
