import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

/** Twenty seconds of what `node tests/bench/soak.mjs` does for an hour, so that it is known to work when it is needed. */
const SOAK = fileURLToPath(new URL('../bench/soak.mjs', import.meta.url));

it('the built server stays right through a hundred edits and all that an editor asks meanwhile', {
  timeout: 300_000,
}, () => {
  const { stdout, stderr, status } = spawnSync(process.execPath, [SOAK, '--edits', '100'], { encoding: 'utf8' });
  const last = stdout.trim().split('\n').at(-1) ?? '';
  expect({ status, stderr, told: status === 0 ? '' : stdout }).toEqual({ status: 0, stderr: '', told: '' });
  const { edits, asked, faults } = JSON.parse(last);
  expect({ edits, faults }).toEqual({ edits: 100, faults: 0 });
  expect(asked).toBeGreaterThan(1000);
});
