/** What the command line makes of files that are no plans, and of plans that reach for files outside their folder. */
import { describe, expect, it } from 'vitest';
import { type Entry, festoon, LOCKED, PIPE, SMALL } from './console.ts';

const bytes = (...values: number[]) => Uint8Array.from(values);
const text = (value: string) => new TextEncoder().encode(value);

describe('a file that is no plan', () => {
  const cases: Readonly<Record<string, readonly [Entry | undefined, RegExp, string]>> = {
    'a missing file': [undefined, /is not there/, 'missing-file'],
    'an empty file': ['', /is empty/, 'empty'],
    'a file of blanks': [' \n\t\n', /is empty/, 'empty'],
    'a binary file': [bytes(0x7f, 0x45, 0x4c, 0x46, 0, 1), /holds binary data/, 'binary'],
    'text saved as UTF-16': [bytes(0xff, 0xfe, 0x70, 0, 0x6c, 0), /UTF-16; save it as UTF-8/, 'binary'],
    'text saved as Latin-1': [bytes(0x70, 0x6c, 0x61, 0x63, 0x65, 0x20, 0xe9, 0x0a), /is not UTF-8/, 'not-text'],
    'a file larger than 2 MB': [text('# x\n'.repeat(500_001)), /has 2\.0 MB/, 'too-large'],
    'a file of more than 50,000 lines': ['\n'.repeat(50_000) + SMALL, /lines; a plan has 50,000/, 'too-large'],
    'a file that may not be read': [LOCKED, /permission is denied/, 'unreadable'],
    'a pipe': [PIPE, /is a device or a pipe/, 'not-a-file'],
    'a link that leads nowhere': [{ link: 'gone.festoon' }, /is not there/, 'missing-file'],
    'a link to itself': [{ link: 'bad.festoon' }, /leads round in a circle/, 'unreadable'],
  };

  it.each(Object.keys(cases))('%s: is told of, and the others are served', (name) => {
    const [entry, message, code] = cases[name]!;
    const files: Record<string, Entry> = { '/plans/good.festoon': SMALL };
    if (entry !== undefined) files['/plans/bad.festoon'] = entry;
    const { exit, out, err } = festoon(['check', '--quiet', 'bad.festoon', 'good.festoon'], { files });
    expect({ exit, err }).toEqual({ exit: 2, err: '' });
    expect(out).toMatch(new RegExp(`^bad\\.festoon .*${message.source}`));
    expect(out).toContain('good.festoon: No findings.');
    const json = JSON.parse(festoon(['check', '--format', 'json', 'bad.festoon'], { files }).out);
    expect(json.unread[0].code).toBe(code);
    for (const command of ['solve', 'netlist', 'format']) {
      const other = festoon([command, 'bad.festoon'], { files });
      expect(other.exit).toBe(2);
      expect(other.err).toMatch(message);
    }
  });

  it('a folder is no plan either', () => {
    const { exit, out } = festoon(['check', '/plans'], { files: { '/plans/good.festoon': SMALL } });
    expect(exit).toBe(2);
    expect(out).toMatch(/^\/plans is a folder/);
  });

  it('a plan of just 50,000 lines and of nearly 2 MB is read', () => {
    const files = {
      '/plans/lines.festoon': SMALL + '\n'.repeat(50_000 - SMALL.split('\n').length),
      '/plans/size.festoon': `${SMALL}${`# ${'x'.repeat(997)}\n`.repeat(1997)}`,
    };
    const { exit } = festoon(['check', '--quiet', 'lines.festoon', 'size.festoon'], { files });
    expect(exit).toBe(0);
  });

  it('a byte order mark does not shift the columns', () => {
    const files = { '/plans/a.festoon': '\ufeffplace shed shed\n' };
    expect(festoon(['check', '--quiet', 'a.festoon'], { files }).out).toMatch(/^a\.festoon:1:12 /);
  });

  it.each([
    ['half a line', 'run eaves from'],
    ['nothing but braces', '}}}}{{{{'],
    ['a billion pixels', 'run x from b.1 {\n  string 1000000000 px of y every 1 mm\n}'],
    ['a cycle of use', 'use "bad.festoon"'],
    ['a name that JavaScript knows', 'place __proto__\nplace constructor\nroute __proto__ to toString 3 m'],
  ])('%s is a finding and no crash', (_, plan) => {
    const { exit, out, err } = festoon(['check', 'bad.festoon'], { files: { '/plans/bad.festoon': plan } });
    expect({ exit, err }).toEqual({ exit: 1, err: '' });
    expect(out).toMatch(/bad\.festoon: \d+ errors?/);
  });
});

describe('what a plan may use', () => {
  const main = (path: string) => `use "${path}"\n${SMALL}`;
  const attic = 'place attic\n';
  const quiet = (files: Record<string, Entry>, ...args: string[]) => festoon(['check', '--quiet', ...args], { files });

  it('lies in its own folder where there is no .git above', () => {
    const files = { '/plans/a.festoon': main('../parts.festoon'), '/parts.festoon': attic };
    expect(quiet(files, 'a.festoon').out).toContain('file-outside');
  });

  it('lies below the nearest folder with .git', () => {
    const files = {
      '/repo/.git/HEAD': 'ref',
      '/repo/2026/a.festoon': main('../parts/stock.festoon'),
      '/repo/parts/stock.festoon': attic,
    };
    expect(quiet(files, '/repo/2026/a.festoon').exit).toBe(0);
    const nested = { ...files, '/repo/2026/.git': 'gitdir: elsewhere' };
    expect(quiet(nested, '/repo/2026/a.festoon').out).toContain('file-outside');
  });

  it('lies below --root, and so does the plan', () => {
    const files = {
      '/repo/.git/HEAD': 'ref',
      '/repo/2026/a.festoon': main('../parts.festoon'),
      '/repo/parts.festoon': attic,
    };
    expect(quiet(files, '--root', '/repo/2026', '/repo/2026/a.festoon').out).toContain('file-outside');
    expect(quiet(files, '--root', '/repo', '/repo/2026/a.festoon').exit).toBe(0);
    const outside = quiet(
      { ...files, '/repo/parts/x.festoon': attic },
      '--root',
      '/repo/parts',
      '/repo/2026/a.festoon',
    );
    expect(outside.exit).toBe(2);
    expect(outside.out).toMatch(/lies outside the folder given by --root/);
  });

  it('cannot be led out of there by a link', () => {
    const files = {
      '/plans/a.festoon': main('parts/stock.festoon'),
      '/plans/parts': { link: '/elsewhere' },
      '/elsewhere/stock.festoon': attic,
    };
    const { exit, out } = quiet(files, 'a.festoon');
    expect(exit).toBe(1);
    expect(out).toContain('file-outside');
    expect(out).toContain('is a link to a file outside the folder');
  });

  it('may be a link that stays inside, and the folder itself may be one', () => {
    const files = {
      '/real/plans/a.festoon': main('parts/stock.festoon'),
      '/real/plans/parts': { link: 'store' },
      '/real/plans/store/stock.festoon': attic,
      '/plans': { link: '/real/plans' },
    };
    expect(quiet(files, 'a.festoon').exit).toBe(0);
  });

  it.each([
    ['/etc/passwd', 'file-outside'],
    ['file:///etc/passwd', 'file-outside'],
    ['..\\\\parts.festoon', 'file-outside'],
    ['gone.festoon', 'missing-file'],
    ['folder', 'missing-file'],
    ['binary.festoon', 'missing-file'],
    ['locked.festoon', 'missing-file'],
    ['huge.festoon', 'too-large'],
    ['nul\u0000.festoon', 'missing-file'],
  ])('%j is a finding on the line that uses it', (path, code) => {
    const files = {
      '/plans/a.festoon': new TextEncoder().encode(main(path).replaceAll('\u0000', '')),
      '/plans/folder/x.festoon': attic,
      '/plans/binary.festoon': bytes(1, 0, 2),
      '/plans/locked.festoon': LOCKED,
      '/plans/huge.festoon': text('# x\n'.repeat(500_001)),
      '/etc/passwd': attic,
    };
    const { exit, out } = quiet(files, 'a.festoon');
    expect(exit).toBe(1);
    expect(out).toMatch(new RegExp(`^a\\.festoon:1:5 {2}error {2}${code}`));
  });

  it('may be empty', () => {
    expect(quiet({ '/plans/a.festoon': main('b.festoon'), '/plans/b.festoon': '' }, 'a.festoon').exit).toBe(0);
  });

  it('is found whatever its folder is called', () => {
    const files = {
      '/plans/50 % (é) @home/a.festoon': main('x @ y.festoon'),
      '/plans/50 % (é) @home/x @ y.festoon': attic,
    };
    expect(quiet(files, '50 % (é) @home/a.festoon').exit).toBe(0);
  });

  it('is named by its place in messages', () => {
    const files = { '/repo/.git': '', '/repo/a/a.festoon': main('../b/b.festoon'), '/repo/b/b.festoon': 'place x x\n' };
    const from = (cwd: string, name: string) => festoon(['check', '--quiet', name], { files, cwd }).out.split(':')[0];
    expect(from('/repo/a', 'a.festoon')).toBe('../b/b.festoon');
    expect(from('/repo', 'a/a.festoon')).toBe('b/b.festoon');
    expect(from('/repo/.git', '../a/a.festoon')).toBe('../b/b.festoon');
  });
});
