/**
 * `npm run bench [-- --write]`: measures the solver against SciPy and ngspice on the same networks, in the same run.
 * Needs python3 with SciPy and the ngspice program on the PATH for the comparisons; without them it measures itself.
 * With --write, the results replace RESULTS.md beside this file. `npm run bench -- injection` measures the search for
 * injection points instead.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const here = fileURLToPath(new URL('.', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'festoon-bench-'));
const [subject, ...flags] =
  process.argv[2] === 'injection' ? process.argv.slice(2) : ['solve', ...process.argv.slice(2)];
const bundle = join(folder, `${subject}.bench.mjs`);
try {
  await build({
    entryPoints: [join(here, `${subject}.bench.ts`)],
    outfile: bundle,
    bundle: true,
    platform: 'node',
    format: 'esm',
    logLevel: 'warning',
  });
  const arguments_ = ['--expose-gc', bundle, here, folder, ...flags];
  process.exitCode = spawnSync(process.execPath, arguments_, { stdio: 'inherit' }).status ?? 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
