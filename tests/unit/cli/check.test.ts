/** `festoon check` for people: what is said of findings, the account, exit codes and colour. */
import { describe, expect, it } from 'vitest';
import { Host } from '#server/analysis/host.ts';
import { wantsColour } from '#server/cli/colour.ts';
import { renderPage } from '#server/cli/page.ts';
import { renderAccount } from '#server/cli/render-account.ts';
import { type Report, reportOf } from '#server/cli/report.ts';
import { festoon, SMALL } from './console.ts';

const check = (text: string, ...options: string[]) =>
  festoon(['check', ...options, 'porch.festoon'], { files: { '/plans/porch.festoon': text } });

const linesOf = (text: string) => text.split('\n');

describe('a sound plan', () => {
  const { exit, out, err } = check(SMALL);

  it('ends with code 0 and says so', () => {
    expect({ exit, err }).toEqual({ exit: 0, err: '' });
    expect(linesOf(out)).toContain('porch.festoon: No findings.');
  });

  it('is accounted for in figures that can be reckoned by hand', () => {
    // 10 pixels x 60 mA = 600 mA. 600 mA of 5 A is 12 %, of a 2 A fuse 30 %. 12 V x 0.6 A = 7.2 W.
    expect(out).toMatch(/^ {2}psu +600 mA {2}of 5 A +12 % {2}█░{9} {2}12\.00 V {2}7\.2 W {2}shed$/m);
    expect(out).toMatch(/^ {4}output 1 {2}600 mA {2}of 2 A fuse +30 % {2}█{3}░{7}$/m);
    // The route of 9 m and 0.5 m of slack at each end make 10 m; 2 x 10 m x 7.98 mohm/m x 0.6 A = 0.096 V, and
    // 25 A is what a flexible cord of 2.5 mm2 may carry.
    expect(out).toMatch(/^ {2}porch-feed {2}psu\.1 {2}porch-edge {2}pair +10 m {2}600 mA +2 % {2}0\.10 V$/m);
    // Fuse 0.030 V, feed 0.096 V, splices 0.001 V, string 2 x 0.1 m x 7.98 mohm/m x 60 mA x (1 + 2 + ... + 10) = 0.005 V.
    // 10 pixels x 24 bits at 800 kHz take 0.3 ms, and the pause 0.3 ms.
    expect(out).toMatch(/^ {2}porch-edge {2}box\.1 +10 {2}600 mA +11\.87 V {2}10 edge +11\.00 V {2}0\.6 ms$/m);
    expect(out).toMatch(/^ {2}shed to porch +9 m +1 +2$/m);
    // 7.2 W / 0.85 / 0.55 / 120 V = 128 mA.
    expect(out).toMatch(/^ {2}garden +128 mA {2}of 15 A +1 % .* psu$/m);
    expect(out).toContain('10 pixels on 1 run draw 7.2 W from 1 supply; the mains gives about 8.5 W (15 VA).');
  });

  it('ends with the cautions', () => {
    const end = out.slice(out.indexOf('porch.festoon: No findings.'));
    for (const words of [
      'licensed electrician',
      'residual-current protection',
      'Fuse every feed at the supply end',
      'Disconnect before touching',
      'it does not approve',
    ]) {
      expect(end.replaceAll('\n', ' ')).toContain(words);
    }
  });

  it('has nothing but the verdict when asked to be quiet', () => {
    expect(check(SMALL, '--quiet').out).toBe('porch.festoon: No findings.\n');
  });
});

describe('a finding', () => {
  const low = SMALL.replace('least   11 V', 'least   11.9 V');
  const { exit, out } = check(low, '--quiet');

  it('ends the command with code 1', () => {
    expect(exit).toBe(1);
    expect(linesOf(out)).toContain('porch.festoon: 1 warning');
  });

  it('has its place, level and code, and its message', () => {
    const line = linesOf(low).findIndex((text) => text.startsWith('  string edge')) + 1;
    expect(linesOf(out)[0]).toBe(`porch.festoon:${line}:10  warning  low-voltage`);
    expect(out).toContain('porch-edge sags to 11.87 V at pixel 10');
  });

  it('shows its line with the word underlined, and the places that take part', () => {
    const [, source = '', carets = ''] = /^( +\d+ \| string edge.*)\n( +\| .*)$/m.exec(out) ?? [];
    expect(carets.slice(source.indexOf('edge'))).toBe('^^^^');
    expect(carets.slice(0, source.indexOf('edge'))).not.toContain('^');
    expect(out).toMatch(/^ +> line \d+: porch-feed feeds porch-edge\.$/m);
  });

  it('is underlined in the right columns behind wide characters', () => {
    const labelled = check(low.replace('string edge  10 px', 'string édge "屋根"  10'), '--quiet').out;
    const [, source = '', carets = ''] = /^( +\d+ \| string édge.*)\n( +\| .*)$/m.exec(labelled) ?? [];
    // Each of the two characters of the label is two columns wide, so the terminal shows "10" two columns further on.
    expect(source).toContain('"屋根"  10');
    expect(carets.indexOf('^')).toBe(source.indexOf('10') + 2);
  });

  it('far along a line is shown from the start of the line where that fits, and else with what surrounds it', () => {
    const shown = (blanks: number) =>
      check(`place shed ${' '.repeat(blanks)}shed\n`, '--quiet')
        .out.split('\n')
        .slice(2, 4);
    expect(shown(70)).toEqual([`  1 | place shed ${' '.repeat(70)}shed`, `    | ${' '.repeat(81)}^^^^`]);
    const [source = '', carets = ''] = shown(500);
    expect(source).toMatch(/^ {2}1 \| … +shed$/);
    expect(carets.indexOf('^^^^')).toBe(source.indexOf('shed'));
    expect(source.length).toBeLessThanOrEqual(100);
  });

  it('on a line of a hundred thousand characters is cut to fit', () => {
    const long = check(`${SMALL}place ${'x '.repeat(50_000)}here\n`, '--quiet').out;
    expect(Math.max(...linesOf(long).map((line) => line.length))).toBeLessThanOrEqual(110);
    expect(long).toContain('…');
  });

  it('is one of many: two hundred are shown and the rest counted', () => {
    const many = check(`${SMALL}${'nonsense here\n'.repeat(1000)}`, '--quiet').out;
    expect(many.match(/^porch\.festoon:\d+:/gm)).toHaveLength(200);
    expect(many).toMatch(/and \d+ more findings/);
    expect(many).toMatch(/porch\.festoon: 1,000 errors/);
  });
});

describe('the account', () => {
  const wide = festoon(['check', 'porch.festoon'], { files: { '/plans/porch.festoon': SMALL }, columns: 100 });

  it.each([80, 90, 100])('fits a terminal of %i columns', (columns) => {
    const long = SMALL.replaceAll('porch-edge', 'the-very-long-edge-of-the-porch-roof-above-the-stairs')
      .replaceAll('porch-feed', 'the-feed-that-leads-to-the-edge-of-the-porch')
      .replaceAll('pair', 'two-core-cable-of-two-and-a-half-square-millimetres');
    const { out } = festoon(['check', 'porch.festoon'], { files: { '/plans/porch.festoon': long }, columns });
    const widths = linesOf(out).map((line) => line.length);
    expect(Math.max(...widths)).toBeLessThanOrEqual(columns);
    expect(out).toContain('600 mA');
  });

  it('keeps its columns aligned', () => {
    const [title = '', ...rows] = linesOf(wide.out).slice(
      linesOf(wide.out).findIndex((line) => line.startsWith('Supplies')),
    );
    const end = title.indexOf('amps') + 'amps'.length;
    expect(rows.slice(0, 2).map((row) => row.slice(0, end).endsWith('600 mA'))).toEqual([true, true]);
  });

  it('is in feet where the plan is', () => {
    const feet = check(SMALL.replace('9 m  limit', '30 ft  limit').replace('every 100 mm', 'every 4 in')).out;
    // 30 ft and twice 0.5 m (1 ft 8 in) of slack.
    expect(feet).toMatch(/shed to porch +30 ft/);
    expect(feet).toMatch(/porch-feed .* 33 ft 3 in/);
    expect(feet).toContain('copper at 68 degF');
  });

  it('marks what was not computed', () => {
    const host = new Host(() => ({ missing: true }));
    host.setFile('file:///a', SMALL);
    const report = reportOf(host.analyse('file:///a'));
    const unsolved: Report = {
      ...report,
      supplies: report.supplies.map((supply) => ({ ...supply, account: undefined, share: undefined })),
      runs: report.runs.map((run) => ({ ...run, account: undefined })),
      feeds: report.feeds.map((feed) => ({ ...feed, account: undefined })),
      totals: { ...report.totals, unsolved: 1 },
    };
    const text = renderPage(renderAccount(unsolved, 'a', 100), false);
    expect(text).toContain('For a part of the plan no voltages were found');
    expect(text.match(/ \? /g)).toHaveLength(3);
    expect(text).not.toContain('NaN');
  });

  it('is left out where a file has nothing to account for', () => {
    expect(check('place shed\n').out).not.toContain('pixels');
  });
});

describe('colour', () => {
  const low = SMALL.replace('least   11 V', 'least   11.9 V');
  const run = (colour: boolean) =>
    festoon(['check', 'porch.festoon'], { files: { '/plans/porch.festoon': low }, columns: 100, colour });

  it.each([
    [true, {}, true],
    [false, {}, false],
    [true, { NO_COLOR: '1' }, false],
    [true, { NO_COLOR: '' }, true],
    [true, { TERM: 'dumb' }, false],
  ])('on a terminal %s, with %j: %s', (isTerminal, env, expected) => {
    expect(wantsColour(isTerminal, env)).toBe(expected);
  });

  it('changes nothing but the colour', () => {
    const coloured = run(true).out;
    expect(coloured).toContain('\u001b[');
    expect(coloured.replace(/\u001b\[[\d;]*m/g, '')).toBe(run(false).out);
    expect(run(false).out).not.toContain('\u001b');
  });
});

describe('several plans', () => {
  const files = {
    '/plans/a.festoon': SMALL,
    '/plans/b.festoon': SMALL.replace('least   11 V', 'least   11.9 V'),
    '/plans/parts.festoon': 'place attic\n',
    '/plans/c.festoon': `use "parts.festoon"\n${SMALL}`,
  };

  it('are checked one by one, and the worst one gives the code', () => {
    const { exit, out } = festoon(['check', '--quiet', 'a.festoon', 'b.festoon'], { files });
    expect(exit).toBe(1);
    expect(out).toContain('a.festoon: No findings.');
    expect(out).toContain('b.festoon: 1 warning');
  });

  it('count a file once that another one uses', () => {
    const { out } = festoon(['check', '--quiet', 'parts.festoon', 'c.festoon', './c.festoon'], { files });
    expect(out).toBe('c.festoon: No findings.\n');
  });

  it('name findings in a used file by that file', () => {
    const broken = { ...files, '/plans/parts.festoon': 'place attic attic\n' };
    expect(festoon(['check', '--quiet', 'c.festoon'], { files: broken }).out).toMatch(/^parts\.festoon:1:13 {2}error/);
  });
});
