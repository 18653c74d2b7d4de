import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { gitDisk } from '#server/cli/git-disk.ts';
import type { Disk, RunGit } from '#server/cli/io.ts';
import { wrap } from '#server/cli/page.ts';
import { readPlanText } from '#server/cli/plan-text.ts';
import { runGit } from '#server/cli/run-git.ts';
import { festoon, SMALL } from './console.ts';

/** The world outside of the plans: repositories, folders and disks that are not as one expects. */
const codeOf = (what: () => unknown): unknown => {
  try {
    return what();
  } catch (error) {
    return (error as { code?: string }).code;
  }
};

describe('what is staged', () => {
  let top = '';
  beforeAll(() => {
    top = mkdtempSync(join(tmpdir(), 'festoon-staged-'));
    const git = (...args: string[]) => execFileSync('git', args, { cwd: top, stdio: 'pipe' });
    git('init', '-q');
    mkdirSync(join(top, 'porch'));
    writeFileSync(join(top, 'main.festoon'), SMALL);
    writeFileSync(join(top, 'porch/plan.festoon'), SMALL);
    git('add', '-A');
    writeFileSync(join(top, 'unstaged.festoon'), SMALL);
  });
  afterAll(() => rmSync(top, { recursive: true }));

  it('is read as a disk of its own, with its folders', () => {
    const disk = gitDisk(runGit, top, '');
    expect(disk.list(top)).toEqual(['main.festoon']);
    expect(disk.list(join(top, 'porch'))).toEqual(['plan.festoon']);
    expect(disk.stat(top).kind).toBe('folder');
    expect(disk.stat(join(top, 'porch')).kind).toBe('folder');
    expect(disk.stat(join(top, 'main.festoon'))).toEqual({ kind: 'file', size: Buffer.byteLength(SMALL) });
    expect(new TextDecoder().decode(disk.read(join(top, 'porch/plan.festoon')))).toBe(SMALL);
  });

  it('has no other files, and cannot be written', () => {
    const disk = gitDisk(runGit, top, '');
    expect(codeOf(() => disk.stat(join(top, 'unstaged.festoon')))).toBe('ENOENT');
    expect(codeOf(() => disk.stat(join(top, '../elsewhere')))).toBe('ENOENT');
    expect(codeOf(() => disk.read(join(top, 'porch')))).toBe('EISDIR');
    expect(codeOf(() => disk.replace(join(top, 'main.festoon'), ''))).toBe('EROFS');
  });
});

describe('a repository', () => {
  it('may know of a file that it cannot show', () => {
    // A clone without all objects: the kind of the object is told, and nothing else.
    const git: RunGit = (args) => (args.includes('-t') ? new TextEncoder().encode('blob\n') : undefined);
    const disk = gitDisk(git, '/top', 'HEAD');
    expect(codeOf(() => disk.stat('/top/plan.festoon'))).toBe('EIO');
    expect(codeOf(() => disk.read('/top/plan.festoon'))).toBe('EIO');
    expect(disk.list('/top')).toEqual([]);
  });

  it.each([
    [['check', 'HEAD:plan.festoon'], 'is not there'],
    [['diff', 'plan.festoon'], 'lies in no git repository'],
    [['diff', '--driver', 'plan.festoon', '/old', '0', '100644', '/new'], '--driver is called by git, in a repository'],
  ])('is wanted by %j, and that there is none is said', (args, reason) => {
    const { exit, out, err } = festoon(args, { files: { '/plans/plan.festoon': SMALL } });
    expect(exit).toBe(2);
    expect(out + err).toContain(reason);
  });
});

describe('a folder', () => {
  const bare = SMALL.replace(/plan[^}]*\}\n/, '');
  const diff = (files: Record<string, string>) =>
    festoon(['diff', 'old', 'new', '--format', 'markdown'], { files: { '/plans/new/plan.festoon': SMALL, ...files } });

  it('has its only file as its plan, also without a plan statement', () => {
    const { exit, out } = diff({ '/plans/old/any.festoon': bare.replace('10 px', '20 px') });
    expect(exit).toBe(0);
    expect(out).toContain('20 pixels');
  });

  it('holds no plan where several files may be it', () => {
    const { exit, err } = diff({ '/plans/old/one.festoon': bare, '/plans/old/two.festoon': bare });
    expect(exit).toBe(2);
    expect(err).toContain('old holds no plan: no file in it has a plan statement');
  });

  it('may be the top of the disk', () => {
    const files = {
      '/a.festoon': 'use "b.festoon"\nroute shed to roof  3 m\n',
      '/b.festoon': 'place shed\nplace roof\n',
    };
    expect(festoon(['check', 'a.festoon'], { files, cwd: '/' }).exit).toBe(0);
  });

  it('far away is named in full', () => {
    const files = { '/plans/a.festoon': 'use "b.festoon"\n', '/plans/b.festoon': 'place shed\nplace shed\n' };
    const { out } = festoon(['check', '/plans/a.festoon'], { files, cwd: '/elsewhere/deep/down' });
    expect(out).toContain('/plans/b.festoon:2:7');
  });
});

describe('a disk', () => {
  it('on which nothing can be written is told of, and the account stands', () => {
    const sagging = SMALL.replace('least   11 V', 'least   11.9 V').concat(
      'part cable thick {\n  conductor 12 AWG\n  carries V+ ground\n}\n',
    );
    const world = { files: { '/plans/a.festoon': sagging } };
    const sound = festoon(['plan', 'a.festoon', '--write'], world);
    expect(sound.files.get('/plans/a.festoon')).not.toBe(sagging);
    const { exit, out, err } = festoon(['plan', 'a.festoon', '--write'], { ...world, readOnly: true });
    expect(exit).toBe(2);
    expect(err).toMatch(/^a\.festoon .*written.*\.\n$/);
    expect(out.split('\n')[0]).toBe(sound.out.split('\n')[0]);
  });

  it('may know the size of a file only when it is read', () => {
    const disk = (length: number) =>
      ({
        stat: () => ({ kind: 'file', size: 0 }),
        read: () => new Uint8Array(length).fill(0x20),
      }) as Partial<Disk> as Disk;
    expect(readPlanText(disk(2_000_001), '/proc/plan')).toMatchObject({ trouble: 'too-large' });
    expect(readPlanText(disk(2_000_000), '/proc/plan')).not.toMatchObject({ trouble: 'too-large' });
  });

  it('that fails with no error at all is a fault of ours', () => {
    const git: RunGit = () => {
      // What a library may do.
      throw 'no words';
    };
    const { exit, err } = festoon(['diff', 'plan.festoon'], { files: { '/plans/plan.festoon': SMALL }, git });
    expect(exit).toBe(3);
    expect(err).toContain('\nno words\n');
  });
});

describe('what is printed', () => {
  it('has no line for a text of nothing', () => {
    expect(wrap('', 20)).toEqual([]);
    expect(wrap('two words', 5)).toEqual(['two', 'words']);
  });

  it('is headed by the title of the plan, or else by its file', () => {
    const untitled = SMALL.replace('plan "Porch"', 'plan');
    const head = (after: string) =>
      festoon(['diff', 'a.festoon', 'b.festoon', '--format', 'html'], {
        files: { '/plans/a.festoon': SMALL.replace('10 px', '20 px'), '/plans/b.festoon': after },
      }).out.match(/<title>(.*?)<\/title>/)?.[1];
    expect(head(SMALL)).toContain('Porch');
    expect(head(untitled)).toContain('b.festoon');
  });

  it('keeps the plans that are tested apart', () => {
    const files = { '/plans/a.festoon': SMALL, '/plans/b.festoon': `${SMALL}expect porch-edge at least 11 V\n` };
    const { out } = festoon(['test', 'a.festoon', 'b.festoon'], { files });
    expect(out).toMatch(/^a\.festoon: nothing to test.*\n\nholds {2}.*\n(?:.*\n)*b\.festoon: 1 of 1 hold\.\n$/);
  });

  it('takes no tolerance of nothing', () => {
    const files = { '/plans/a.festoon': SMALL };
    for (const tolerance of ['', '%', 'much', '-1'])
      expect(festoon(['diff', 'a.festoon', 'a.festoon', `--tolerance=${tolerance}`], { files }).err).toContain(
        '--tolerance is a share',
      );
  });
});

describe('a review of what is not written in full', () => {
  it('tells amps without a share of what is not known', () => {
    const bare = SMALL.replace('15 A  120 V', '120 V').replace('  rated   5 A\n', '');
    const changes = (text: string) =>
      festoon(['diff', 'a.festoon', 'b.festoon'], {
        files: { '/plans/a.festoon': text, '/plans/b.festoon': text.replace('10 px', '20 px') },
      }).out;
    // 600 mA and 1.2 A of 5 A.
    expect(changes(SMALL)).toMatch(/600 mA, 12 % of its rating/);
    expect(changes(SMALL)).toMatch(/of its breaker/);
    expect(changes(bare)).toMatch(/600 mA +→ +1\.20 A/);
    expect(changes(bare)).not.toMatch(/of its (?:rating|breaker)/);
  });
});

describe('a cable of which nobody says what it carries', () => {
  it('is cut with its conductor and cores alone', () => {
    const lists = (text: string) => {
      const { files } = festoon(['report', 'a.festoon', '--out', '/paper'], { files: { '/plans/a.festoon': text } });
      return [...files].flatMap(([path, page]) => (path.startsWith('/paper') ? [String(page)] : [])).join('\n');
    };
    // No table that Festoon holds says what 28 AWG carries.
    const hair = SMALL.replace('part cable pair {\n  conductor 2.5 mm2', 'part cable pair {\n  conductor 28 AWG');
    expect(lists(SMALL)).toMatch(/2\.5 mm2, V\+ ground, \d/);
    expect(lists(hair)).toMatch(/28 AWG, V\+ ground(?!,)/);
  });
});

describe('an extension lead of which nothing is known', () => {
  const plan = (cord: string) =>
    SMALL.replace('circuit garden  15 A  120 V', `circuit garden  15 A  120 V  extension 20 m cord ${cord}`).replace(
      'on garden {',
      'on garden  extension 5 m cord outdoor {',
    );
  const OUTDOOR = 'part cable outdoor {\n  conductor 1.5 mm2\n  carries line neutral earth\n}\n';
  const solved = (text: string) => festoon(['solve', 'a.festoon'], { files: { '/plans/a.festoon': text } }).out;

  it('has its length and its amps, and no drop', () => {
    const row = (out: string, start: RegExp) => out.split('\n').find((line) => start.test(line)) ?? '';
    const known = solved(plan('outdoor') + OUTDOOR);
    expect(row(known, /^ +garden +outdoor/)).toMatch(/20 m +\d+ mA +\d\.\d\d V +\d\.\d %/);
    const unknown = solved(plan('nothing') + OUTDOOR);
    expect(row(unknown, /^ +garden +20 m/)).toMatch(/20 m +\d+ mA *$/);
    // That of the supply behind it is known all the same.
    expect(row(unknown, /^ +psu +outdoor/)).toMatch(/5 m +\d+ mA +\d\.\d\d V/);
  });

  it('is on the papers with its length', () => {
    const { files, exit } = festoon(['report', 'a.festoon', '--out', '/paper'], {
      files: { '/plans/a.festoon': plan('nothing') + OUTDOOR },
    });
    expect([0, 1]).toContain(exit);
    const pages = [...files].filter(([path]) => path.startsWith('/paper')).map(([, text]) => String(text));
    expect(pages.join('\n')).toContain('extension leads of a kind that the plan does not name');
  });
});
