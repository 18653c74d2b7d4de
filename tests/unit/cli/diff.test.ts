import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { nodeDisk } from '#server/cli/node-disk.ts';
import { run as festoonRun } from '#server/cli/run.ts';
import { runGit } from '#server/cli/run-git.ts';
import { root } from '../house/tree.ts';
import { festoon, SMALL } from './console.ts';

const two = (before: string, after: string, ...options: string[]) =>
  festoon(['diff', ...options, 'old.festoon', 'new.festoon'], {
    files: { '/plans/old.festoon': before, '/plans/new.festoon': after },
  });

describe('diff of two files', () => {
  it('says that nothing changes where only comments, order and layout do', () => {
    const [head, ...rest] = SMALL.split(/\n\n/);
    const after = `# another season\n${[head, ...rest.reverse()].join('\n\n\n')}`;
    const { exit, out } = two(SMALL, after);
    expect(out).toContain('Nothing that matters changes.');
    expect(exit).toBe(0);
    expect(two(SMALL, after, '--format', 'markdown').out).toBe('');
  });

  it('tells consequences: twice the pixels draw twice the current', () => {
    const { out, exit } = two(SMALL, SMALL.replace('10 px', '20 px'));
    // 10 x 60 mA = 0.6 A, 20 x 60 mA = 1.2 A of the 5 A supply.
    expect(out).toMatch(/pixels +10 pixels +→ +20 pixels/);
    expect(out).toMatch(/psu {2}load +600 mA, 12 % of its rating +→ +1\.20 A, 24 % of its rating/);
    expect(exit).toBe(0);
    expect(two(SMALL, SMALL.replace('10 px', '20 px'), '--fail-on', 'change').exit).toBe(1);
  });

  it('tells a pull request what is new, what is gone and what has become better', () => {
    const worse = SMALL.replace('fuse 2 A', 'fuse 500 mA').replace('10 px', '11 px');
    const [there, back] = [
      two(SMALL, worse, '--format', 'markdown').out,
      two(worse, SMALL, '--format', 'markdown').out,
    ];
    expect(there).toMatch(/\*\*\d+ new findings?(?: \(\d+ errors?\))?/);
    expect(there).toContain('`fuse-overloaded`');
    expect(there).toContain('(worse)');
    expect(back).toContain('**No new finding; ');
    expect(back).toMatch(/<summary>1 finding gone<\/summary>\n\n- `fuse-overloaded` /);
    expect(back).toContain('(better)');
  });

  it('ends with 1 when a finding is new, and not when one is gone', () => {
    const worse = SMALL.replace('fuse 2 A', 'fuse 500 mA');
    const there = two(SMALL, worse);
    expect(there.out).toMatch(/New:\n.*fuse-overloaded/);
    expect(there.exit).toBe(1);
    expect(two(SMALL, worse, '--fail-on', 'never').exit).toBe(0);
    const back = two(worse, SMALL);
    // Two of a kind can be told apart.
    expect(back.out).toMatch(/Gone:\n.*fuse-overloaded\n +The 0\.5 A fuse of psu\.1 carries 600 mA/);
    expect(back.exit).toBe(0);
  });

  it('ends with 1 where a figure gets worse by more than is tolerated, and only then', () => {
    const after = SMALL.replace('10 px', '11 px');
    // 10 x 60 mA and 11 x 60 mA: a tenth more on the supply; the voltage falls by far less.
    expect(two(SMALL, after).exit).toBe(0);
    expect(two(SMALL, after, '--fail-on', 'worse').exit).toBe(1);
    expect(two(SMALL, after, '--fail-on', 'worse', '--tolerance', '9 %').exit).toBe(1);
    expect(two(SMALL, after, '--fail-on', 'worse', '--tolerance', '11 %').exit).toBe(0);
    expect(two(after, SMALL, '--fail-on', 'worse').exit).toBe(0);
    // What is new and found counts all the same.
    expect(two(SMALL, SMALL.replace('fuse 2 A', 'fuse 500 mA'), '--fail-on', 'worse', '--tolerance', '99 %').exit).toBe(
      1,
    );
  });

  it('names whole runs where addresses move: 160 px x 3 fill universe 10 from slot 31, 40 px are left for universe 11', () => {
    const before = SMALL.replace('10 px', '200 px');
    const after = before.replace('run porch-edge', 'run porch-edge  universe 10 slot 31');
    expect(two(before, after).out).toMatch(
      /porch-edge {2}slots +universe 1 slot 1 to 2 slot 90 +→ +universe 10 slot 31 to 11 slot 120/,
    );
  });

  it('finds the plan of a folder', () => {
    const { out } = festoon(['diff', 'a', 'b'], {
      files: { '/plans/a/plan.festoon': SMALL, '/plans/b/only.festoon': SMALL.replace('10 px', '11 px') },
    });
    expect(out).toMatch(/10 pixels +→ +11 pixels/);
  });

  it('writes JSON by its schema', () => {
    const schema = readFileSync(`${root}/server/src/cli/schema/diff.schema.json`, 'utf8');
    const validate = new Ajv2020({ strict: true, strictRequired: false }).compile(JSON.parse(schema));
    const value = JSON.parse(two(SMALL, SMALL.replace('10 px', '200 px'), '--format', 'json').out);
    expect(validate(value) || validate.errors).toBe(true);
    expect(value.newFindings.length).toBeGreaterThan(0);
    expect(value.changes).toContainEqual(
      expect.objectContaining({ section: 'display', what: 'pixels', before: 10, after: 200 }),
    );
  });

  it.each([
    '[x](http://evil.example)',
    '![x](y)',
    '<img src=x>',
    '@someone',
    'a #12',
    'www.evil.example',
    '`code`',
    '| a |',
  ])('writes %j as text in Markdown', (title) => {
    const plan = SMALL.replace('"Porch"', JSON.stringify(title));
    const { out } = two(SMALL, plan.replace('10 px', '20 px'), '--format', 'markdown');
    const [first = ''] = out.split('\n');
    expect(first).not.toMatch(/[^\\][[`|]|<|@|:\/\/|www\./);
    // What mentions somebody, or something with a number, is looked for in the finished text.
    const finished = first.replace(/^#+ /, '').replace(/\\(?=[!-/])/g, '');
    expect(finished.replaceAll('&#64;', '@').replaceAll('&#8203;', '\u200b')).not.toMatch(/@\w|#\d/);
  });

  it('is a page to print as HTML', () => {
    const { out } = two(SMALL, SMALL.replace('10 px', '20 px'), '--format', 'html');
    expect(out).toContain('<!DOCTYPE html>');
    expect(out).toContain('licensed electrician');
  });

  it.each([
    [['diff'], 'name two versions'],
    [['diff', 'a', 'b', 'c'], 'name two versions'],
    [['diff', 'plan.festoon'], 'lies in no git repository'],
    [['diff', '--format', 'sheet', 'a', 'b'], '--format is one of'],
    [['diff', '--tolerance', 'much', 'a', 'b'], '--tolerance is a share'],
  ])('says what is wrong with %j', (args, reason) => {
    const { exit, err } = festoon(args, { files: { '/plans/plan.festoon': SMALL } });
    expect(exit).toBe(2);
    expect(err).toContain(reason);
  });
});

/** With the real git; git itself calls the program that was built. */
describe('diff with git', () => {
  let folder = '';
  const git = (...args: string[]) =>
    execFileSync('git', ['-c', 'user.name=Crew', '-c', 'user.email=crew@example.org', ...args], {
      cwd: folder,
      encoding: 'utf8',
      stdio: 'pipe',
      env: { ...process.env, GIT_CONFIG_GLOBAL: '/dev/null', GIT_CONFIG_NOSYSTEM: '1', GIT_PAGER: 'cat' },
    });
  const cli = join(root, 'dist/cli.cjs');
  const run = (...args: string[]) => {
    let out = '';
    const say = (text: string) => {
      out += text;
    };
    const world = {
      disk: nodeDisk,
      git: runGit,
      transmit: () => undefined,
      cwd: folder,
      columns: undefined,
      errIsTerminal: false,
      colour: false,
    };
    return { code: festoonRun(args, { out: say, err: say, ...world }), out };
  };
  const split = SMALL.indexOf('place shed');

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'festoon-diff-'));
    git('init', '-q');
    mkdirSync(join(folder, 'porch'));
    writeFileSync(join(folder, 'porch/parts.festoon'), SMALL.slice(0, split).replace(/plan[^}]*\}/, ''));
    writeFileSync(
      join(folder, 'porch/plan.festoon'),
      `plan "Porch" {\n  frame-rate 40 fps\n}\nuse "parts.festoon"\n${SMALL.slice(split)}`,
    );
    git('add', '-A');
    git('commit', '-q', '-m', 'first');
    const plan = readFileSync(join(folder, 'porch/plan.festoon'), 'utf8');
    writeFileSync(join(folder, 'porch/plan.festoon'), plan.replace('10 px', '20 px'));
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('compares the last commit with what is on disk', () => {
    const { out } = run('diff', 'porch/plan.festoon');
    expect(out).toContain('HEAD:porch/plan.festoon → porch/plan.festoon');
    expect(out).toMatch(/10 pixels +→ +20 pixels/);
  });

  it('reads the parts of a revision from that revision', () => {
    const parts = join(folder, 'porch/parts.festoon');
    const text = readFileSync(parts, 'utf8');
    writeFileSync(parts, text.replace('60 mA', '30 mA'));
    // 10 x 60 mA before, 20 x 30 mA after: the load is the same, the pixels are not.
    const { out } = run('diff', 'HEAD:porch', 'porch');
    expect(out).toMatch(/10 pixels +→ +20 pixels/);
    expect(out).not.toMatch(/psu {2}load/);
    writeFileSync(parts, text);
  });

  it('reads what is staged', () => {
    git('add', 'porch/plan.festoon');
    const { out } = run('diff', 'HEAD:porch/plan.festoon', ':porch/plan.festoon');
    expect(out).toMatch(/10 pixels +→ +20 pixels/);
    expect(run('check', '--quiet', ':porch/plan.festoon').code).toBe(0);
    git('reset', '-q');
  });

  it('says so when a revision or a file is not there', () => {
    expect(run('diff', 'nowhere:porch/plan.festoon', 'porch/plan.festoon')).toEqual(
      expect.objectContaining({ code: 2, out: expect.stringContaining('is not there') }),
    );
    expect(run('diff', 'HEAD:gone.festoon', 'porch/plan.festoon').code).toBe(2);
  });

  it('serves git diff as its driver', () => {
    writeFileSync(join(folder, '.gitattributes'), '*.festoon diff=festoon\n');
    git('config', 'diff.festoon.command', `"${process.execPath}" "${cli}" diff --driver`);
    expect(git('diff')).toMatch(/10 pixels +→ +20 pixels/);
  });

  it('tells as a driver what came of one file, also of one that is new or is none', () => {
    const drive = (path: string, before: string, after: string) =>
      run('diff', '--driver', path, before, 'hash', '100644', after, 'hash', '100644');
    writeFileSync(join(folder, 'old'), git('show', 'HEAD:porch/plan.festoon'));
    expect(drive('porch/plan.festoon', 'old', 'porch/plan.festoon').out).toMatch(/10 pixels +→ +20 pixels/);
    // The parts alone belong to the plan beside them: 60 mA become 30 mA, 10 of them draw 0.3 A.
    const parts = git('show', 'HEAD:porch/parts.festoon');
    writeFileSync(join(folder, 'old'), parts);
    writeFileSync(join(folder, 'new'), parts.replace('60 mA', '30 mA'));
    expect(drive('porch/parts.festoon', 'old', 'new').out).toMatch(/psu {2}load +600 mA, .*→ +300 mA/);
    // Where a file is new, or goes, the last commit stands in for the side that has none.
    expect(drive('porch/plan.festoon', '/dev/null', 'porch/plan.festoon').out).toMatch(/10 pixels +→ +20 pixels/);
    expect(drive('porch/gone.festoon', '/dev/null', '/dev/null').code).toBe(2);
    expect(run('diff', '--driver', 'porch/plan.festoon')).toMatchObject({ code: 2 });
  });

  it('finds nothing outside of the repository, and no plan in a folder without one', () => {
    mkdirSync(join(folder, 'empty'), { recursive: true });
    writeFileSync(join(folder, 'empty/notes.txt'), 'no plan');
    expect(run('diff', 'HEAD:..', 'porch')).toMatchObject({ code: 2, out: expect.stringContaining('is not there') });
    for (const without of ['empty', 'HEAD:'])
      expect(run('diff', without, 'porch')).toMatchObject({ code: 2, out: expect.stringContaining('holds no plan') });
  });

  it('stands in a hook that lets no new error be committed', () => {
    const hook = readFileSync(join(root, 'samples/git/pre-commit'), 'utf8').replace(
      /^festoon=.*$/m,
      `festoon="${process.execPath} ${cli}"`,
    );
    writeFileSync(join(folder, '.git/hooks/pre-commit'), hook, { mode: 0o755 });
    const plan = join(folder, 'porch/plan.festoon');
    const sound = readFileSync(plan, 'utf8');
    writeFileSync(plan, sound.replace('fuse 2 A', 'fuse 500 mA'));
    git('add', 'porch/plan.festoon');
    // What is on disk is sound again, but what is staged is not.
    writeFileSync(plan, sound);
    expect(() => git('commit', '-q', '-m', 'second')).toThrow(/fuse-overloaded|Command failed/);
    git('add', 'porch/plan.festoon');
    git('commit', '-q', '-m', 'second');
    expect(git('log', '--oneline').trim().split('\n').length).toBe(2);
  });
});
