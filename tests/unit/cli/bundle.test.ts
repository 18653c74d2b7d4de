/** The command line as it is shipped: the bundle, started as a program. */
import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readText, root } from '../house/tree.ts';
import { SMALL } from './console.ts';

const bundle = join(root, 'dist/cli.cjs');
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'festoon-cli-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function start(args: readonly string[], cwd = root) {
  const options = { cwd, encoding: 'utf8', timeout: 60_000 } as const;
  const { status, stdout, stderr } = spawnSync(process.execPath, [bundle, ...args], options);
  return { status, stdout, stderr };
}

describe('the bundled command line', () => {
  it('checks the sample display', () => {
    const { status, stdout, stderr } = start(['check', 'samples/boathouse/plan.festoon']);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout).toContain('samples/boathouse/plan.festoon: No findings.');
    expect(stdout).not.toContain('\u001b');
    expect(Math.max(...stdout.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
  });

  it('finds what is wrong with the flawed one', () => {
    const { status, stdout } = start(['check', '--quiet', 'samples/boathouse/flawed/plan.festoon']);
    expect(status).toBe(1);
    expect(stdout).toMatch(/low-voltage/);
  });

  it('tells its version', () => {
    const { version } = JSON.parse(readText('package.json')) as { version: string };
    expect(start(['--version']).stdout).toBe(`festoon ${version}\n`);
  });

  it('ends quietly when its reader has seen enough', () => {
    const script = `"${process.execPath}" "${bundle}" netlist samples/boathouse/plan.festoon | head -n 1`;
    const { stdout, stderr } = spawnSync('sh', ['-c', script], { cwd: root, encoding: 'utf8' });
    expect(stdout.split('\n')).toHaveLength(2);
    expect(stderr).toBe('');
  });

  it('writes all of a long answer into a pipe', () => {
    const { stdout } = start(['solve', '--format', 'json', 'samples/boathouse/plan.festoon']);
    expect(stdout.length).toBeGreaterThan(70_000);
    expect(JSON.parse(stdout).runs.length).toBeGreaterThan(8);
  });

  it.runIf(existsSync('/proc/self'))('writes no papers where none can be, and says why', () => {
    writeFileSync(join(folder, 'small.festoon'), SMALL);
    const written = (out: string) => start(['report', 'small.festoon', '--out', out], folder);
    // The system takes no folder there and says that it is not there, although what is above it is.
    expect(written('/proc/papers')).toMatchObject({
      status: 2,
      stderr: 'festoon: /proc/papers cannot be made there.\n',
    });
    expect(written('small.festoon').stderr).toContain('cannot be a folder: a file has that name');
    expect(written('small.festoon/papers').stderr).toContain('cannot be a folder: a file has that name');
    mkdirSync(join(folder, 'taken/report.html'), { recursive: true });
    expect(written('taken').stderr).toContain('a folder in it has the name of one of the papers');
    expect(written('new/and/below')).toMatchObject({ status: 0, stderr: '' });
    expect(existsSync(join(folder, 'new/and/below/report.html'))).toBe(true);
  });

  it('follows no link out of the folder of a plan', () => {
    mkdirSync(join(folder, 'plan'));
    writeFileSync(join(folder, 'secret.festoon'), 'place attic\n');
    writeFileSync(join(folder, 'plan/a.festoon'), `use "parts.festoon"\n${SMALL}`);
    symlinkSync('../secret.festoon', join(folder, 'plan/parts.festoon'));
    const { status, stdout } = start(['check', '--quiet', 'a.festoon'], join(folder, 'plan'));
    expect(status).toBe(1);
    expect(stdout).toContain('file-outside');
  });

  it('formats a file in one step and keeps its permissions', () => {
    const file = join(folder, 'm.festoon');
    writeFileSync(file, 'place   shed\n');
    chmodSync(file, 0o640);
    expect(start(['format', 'm.festoon'], folder)).toMatchObject({ status: 0, stderr: '' });
    expect(readFileSync(file, 'utf8')).toBe('place shed\n');
    expect(statSync(file).mode & 0o777).toBe(0o640);
  });
});
