/** Help, usage and the small commands. */
import { describe, expect, it } from 'vitest';
import { CHECKS } from '#server/checks/registry.ts';
import { run as festoonRun } from '#server/cli/run.ts';
import { type Entry, festoon, LOCKED, SMALL } from './console.ts';

const FILES = { '/plans/a.festoon': SMALL };
const run = (...args: string[]) => festoon(args, { files: FILES });

describe('help', () => {
  it('lists the commands', () => {
    const { exit, out } = run('--help');
    expect(exit).toBe(0);
    for (const name of ['check', 'solve', 'netlist', 'format', 'explain'])
      expect(out).toMatch(new RegExp(`^  ${name} `, 'm'));
    expect(run('help').out).toBe(out);
    expect(run('-h').out).toBe(out);
  });

  it.each(['check', 'solve', 'netlist', 'format', 'explain'])(
    'of %s says how it is called, its options and its codes',
    (name) => {
      const { exit, out } = run('help', name);
      expect(exit).toBe(0);
      expect(out).toMatch(new RegExp(`^festoon ${name} `));
      expect(run(name, '--help').out).toBe(out);
      expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(120);
    },
  );

  it('tells the version', () => {
    expect(run('--version')).toMatchObject({ exit: 0, out: 'festoon unbuilt\n' });
  });
});

describe('a command line that cannot be understood', () => {
  it.each([
    [[], /COMMAND \[OPTIONS\] FILE/],
    [['chekc', 'a.festoon'], /there is no command "chekc"/],
    [['help', 'chekc'], /there is no command "chekc"/],
    [['check'], /name a plan/],
    [['check', '--colour', 'a.festoon'], /'--colour'.*festoon help check/],
    [['check', '--format', 'xml', 'a.festoon'], /--format is one of: text, json/],
    [['check', '--format'], /--format/],
    [['check', '--root', '/nowhere', 'a.festoon'], /--root: \/nowhere is not there/],
    [['check', '--root', 'a.festoon', 'a.festoon'], /is not a folder/],
    [['solve', 'a.festoon', 'b.festoon'], /one plan at a time/],
    [['netlist'], /name a plan/],
    [['explain', 'low-voltag'], /there is no code "low-voltag"\. Did you mean "low-voltage"/],
    [['explain', 'qqqq'], /festoon explain lists them/],
  ])('%j: ends with code 2 and says why', (args, message) => {
    const { exit, out, err } = run(...args);
    expect({ exit, out }).toEqual({ exit: 2, out: '' });
    expect(err).toMatch(message);
    expect(err).not.toContain('    at ');
  });
});

describe('a fault of Festoon itself', () => {
  it('is told as one, with code 3, and nothing raw in it', () => {
    let err = '';
    const broken = () => {
      throw new TypeError('cannot read "\u001b]0;x\u0007"');
    };
    const exit = festoonRun(['check', 'a.festoon'], {
      out: () => undefined,
      err: (text) => {
        err += text;
      },
      disk: {
        realPath: broken,
        exists: broken,
        stat: broken,
        read: broken,
        list: broken,
        replace: broken,
        makeFolder: broken,
        write: broken,
      },
      git: broken,
      transmit: broken,
      cwd: '/plans',
      columns: undefined,
      errIsTerminal: false,
      colour: false,
    });
    expect(exit).toBe(3);
    expect(err).toMatch(/^festoon: an error in Festoon itself\. Please report it/);
    expect(err).toContain('TypeError: cannot read "<U+001B>]0;x<U+0007>"');
  });
});

describe('solve', () => {
  it('asks no voltage of a null pixel, where it is least as well', () => {
    const keen = SMALL.slice(SMALL.indexOf('part pixel'), SMALL.indexOf('part cable'))
      .replace('bullet', 'keen')
      .replace('least   11 V', 'least   12.5 V')
      .replace('idle    0 mA', 'idle    5 mA');
    const plan = SMALL.replace('every 100 mm\n}', 'every 100 mm\n  null 1 px  of keen\n}').concat(keen);
    const { out } = festoon(['solve', 'a.festoon'], { files: { '/plans/a.festoon': plan } });
    expect(out).toMatch(/porch-edge .* 11\.\d\d V +11/);
    expect(out).not.toContain('12.50 V');
  });
});

describe('explain', () => {
  it('explains every code that there is', () => {
    expect(CHECKS.length).toBeGreaterThan(30);
    for (const { code, title, level } of CHECKS) {
      const { exit, out } = run('explain', code);
      expect(exit).toBe(0);
      expect(out.split('\n').slice(0, 2)).toEqual([`${code}  ${level}`, title]);
      expect(out.split('\n').length).toBeGreaterThan(3);
      expect(out).not.toContain('`');
    }
  });

  it('lists them without a code', () => {
    const { out } = run('explain');
    for (const { code, title } of CHECKS)
      expect(out).toMatch(new RegExp(`^${code} .*${title.slice(0, 30).replace(/[{}()+"]/g, '\\$&')}`, 'm'));
  });
});

describe('format', () => {
  const messy =
    'place   shed "Tool shed"   # left of the door\nplace roof\n\n\n\nroute shed to roof 14 m    limit 4 cables\n';
  const format = (files: Record<string, Entry>, ...args: string[]) => festoon(['format', ...args], { files });

  it('rewrites a plan in the one style, and then leaves it alone', () => {
    const first = format({ '/plans/m.festoon': messy }, 'm.festoon');
    expect(first).toMatchObject({ exit: 0, err: '' });
    const text = first.files.get('/plans/m.festoon') as string;
    expect(text).not.toBe(messy);
    expect(text).toContain('# left of the door');
    expect(text.replace(/\s+/g, ' ').trim()).toBe(messy.replace(/\s+/g, ' ').trim());
    const again = format({ '/plans/m.festoon': text }, 'm.festoon');
    expect(again.files.get('/plans/m.festoon')).toBe(text);
    expect(again.out).toMatch(/^0 files formatted, 1 in style already/);
  });

  it('with --check changes nothing, and ends with code 1', () => {
    const { exit, out, files } = format({ '/plans/m.festoon': messy }, '--check', 'm.festoon');
    expect(exit).toBe(1);
    expect(out).toMatch(/^m\.festoon\n1 file would change/);
    expect(files.get('/plans/m.festoon')).toBe(messy);
  });

  it('leaves what cannot be read as it is', () => {
    const broken = 'place shed "no end\nplace   roof\n';
    const { files } = format({ '/plans/b.festoon': broken }, 'b.festoon');
    expect(files.get('/plans/b.festoon')).toContain('place shed "no end\n');
  });

  it('goes on with the others where a file cannot be used', () => {
    const { exit, err, files } = format(
      { '/plans/l.festoon': LOCKED, '/plans/m.festoon': messy },
      'l.festoon',
      'gone',
      'm.festoon',
    );
    expect(exit).toBe(2);
    expect(err).toBe('l.festoon may not be read: permission is denied.\ngone is not there.\n');
    expect(files.get('/plans/m.festoon')).not.toBe(messy);
  });

  it('writes through a link into the file behind it', () => {
    const { files } = format(
      { '/plans/m.festoon': { link: 'real.festoon' }, '/plans/real.festoon': messy },
      'm.festoon',
    );
    expect(files.get('/plans/m.festoon')).toEqual({ link: 'real.festoon' });
    expect(files.get('/plans/real.festoon')).not.toBe(messy);
  });
});

describe('netlist', () => {
  it('writes a deck on standard output', () => {
    const { exit, out, err } = run('netlist', 'a.festoon');
    expect({ exit, err }).toEqual({ exit: 0, err: '' });
    const lines = out.split('\n');
    expect(lines[0]).toMatch(/^\* Porch/);
    expect(lines.at(-2)).toBe('.end');
    expect(lines).toContain('* 2 A fuse of psu.1');
    expect(lines).toContain('R_fuse_psu_1 n_psu_p n_psu_output_1_p 0.05');
    expect(
      lines.filter((line) => /^B_porch_edge_\d+ n_porch_edge_\d+_p n_porch_edge_\d+_g i=/.test(line)),
    ).toHaveLength(10);
  });
});
