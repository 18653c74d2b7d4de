import { describe, expect, it } from 'vitest';
import { fixAll } from '#server/ide/fixes.ts';
import { expectToCure } from '../../support/cures.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

/** Lengths that are too short for their way get the way and slack at both ends, rounded up to half a metre or a foot. */
const plan = (route: string, lines: string, block = '') => `use "bench.festoon"
plan "Drawn" {
${block}}
place shed
place roof
route shed to roof  ${route}
supply psu  of bench-12  at shed {
  output 1  fuse 15 A  cold 1 mohm
  outputs 2 to 4  fuse 10 A
}
controller box  of board  at shed  from psu.1
${lines}
`;
const run = (length: string, pixels = 5) =>
  `run row  from box.1  at roof {\n  lead ${length}  of lead-18  along shed to roof\n  string ${pixels} px  of steady-12  every 20 mm\n}`;

/** Title and new texts of the fixes of all cables that are too short, each tried. */
function fixes(text: string): [title: string, ...texts: string[]][] {
  const tried = analysePlan(text);
  const { analysis } = tried;
  const found = analysis.findings.filter(({ code }) => code === 'cable-too-short');
  expect(found.length).toBeGreaterThan(0);
  // How long a cable is to be is for a person to say.
  expect(fixAll(analysis, MAIN)).toEqual([]);
  return found.flatMap((finding) =>
    analysis.fixesOf(finding).map((fix): [string, ...string[]] => {
      expectToCure(tried, finding, fix);
      return [fix.title, ...fix.edits.map((edit) => edit.text)];
    }),
  );
}

describe('a cable that is too short', () => {
  it('gets the length of its way and slack', () => {
    // 6.2 m and twice 0.5 m are 7.2 m, with a step of half a metre 7.5 m.
    expect(fixes(plan('6.2 m', run('6 m')))).toEqual([
      ['Write 7.5 m, 1.5 m more: its way and slack at both ends', '7.5 m'],
    ]);
  });

  it('gets it in the units of the plan', () => {
    // 20 ft and twice 0.5 m (1.64 ft) are 23.28 ft, so 24 ft.
    // Most lengths of the plan are in feet, whatever its parts are in.
    const sides = Array.from({ length: 20 }, (_, index) => `place side-${index}\nroute shed to side-${index}  9 ft\n`);
    const imperial = `${run('20 ft')}\n${sides.join('')}`;
    expect(fixes(plan('20 ft', imperial))).toEqual([
      ['Write 24 ft, 4 ft more: its way and slack at both ends', '24 ft'],
    ]);
    expect(fixes(plan('20 ft', imperial, '  slack 1 ft\n'))).toEqual([
      ['Write 22 ft, 2 ft more: its way and slack at both ends', '22 ft'],
    ]);
  });

  it('of a feed with several gets all of them at once', () => {
    // 8 m of way need 9 m, there and back.
    const feed = `feed trunk  from psu.2 {
  cable 7 m  of feed-14  along shed to roof
  tap   row.start
  cable 6 m  of feed-14  along roof to shed to roof
  tap   row.end
}`;
    // The second one goes 16 m, and needs 17 m: 2 m and 11 m more.
    const titles = fixes(plan('8 m', `${run('9 m')}\n${feed}`));
    const fix = ['Make 2 cables longer, 13 m together: their ways and slack at both ends', '9 m', '17 m'];
    expect(titles).toEqual([fix, fix]);
  });

  it('gets it although something else of that name is too short as well', () => {
    // 8 m of way need 9 m: the lead of the run is 1 m too short, the feed of the same name 3 m.
    const feed = 'feed row  from psu.2  to row.end  6 m  of feed-14  along shed to roof';
    expect(fixes(plan('8 m', `${run('8 m')}\n${feed}`))).toEqual([
      ['Write 9 m, 1 m more: its way and slack at both ends', '9 m'],
      ['Write 9 m, 3 m more: its way and slack at both ends', '9 m'],
    ]);
  });

  it('is left where a longer one makes something else worse', () => {
    // 40 px of 60 mA are 2.4 A. A lead of 18 AWG has 21.367 mohm/m on both rails: 9 m lose 0.92 V, the string 42 mV, and
    // 11.0 V are left of 12 V; over 13 m 1.33 V are lost and 10.6 V are left of the 10.8 V that a pixel needs.
    const text = plan('12 m', run('9 m', 40));
    const { analysis } = analysePlan(text);
    expect(analysis.findings.map(({ code }) => code)).toEqual(['cable-too-short']);
    expect(fixes(text)).toEqual([]);
  });
});
