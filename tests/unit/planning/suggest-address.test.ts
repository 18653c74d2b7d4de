import { describe, expect, it } from 'vitest';
import { expectToCure } from '../../support/cures.ts';
import { analysePlan } from '../../support/plans.ts';

/**
 * Fixes of addresses. ANSI E1.31: universes 1 to 63,999 of 512 slots; a pixel of three colours takes three, so 170 pixels
 * fill a universe. All places below are counted by hand.
 */
const PARTS = `use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 30 A
}
part pixel faint {
  voltage  12 V
  red      0.001 mA  knee 6 V  dark 5 V
  idle     0 mA
  wire     18 AWG
}
`;
const box = (name: string, from?: number) =>
  `controller ${name}  of board  from psu.1${from === undefined ? '' : ` {\n  universes from ${from}\n}`}\n`;
const run = (name: string, at: string, pixels: number) =>
  `run ${name}  from ${at} {\n  string ${pixels} px  of faint  every 10 mm\n}\n`;

/** Titles of the fixes for each run that is blamed; each is tried. `left` says what else may stay. */
function fixes(plan: string): Record<string, string[]> {
  const tried = analysePlan(PARTS + plan);
  const { analysis } = tried;
  const found: Record<string, string[]> = {};
  for (const finding of analysis.findings) {
    if (!finding.code.startsWith('address-')) continue;
    const offered = analysis.fixesOf(finding);
    expect(offered.filter(({ preferred }) => preferred).length).toBe(offered.length > 0 ? 1 : 0);
    for (const fix of offered) {
      const after = expectToCure(tried, finding, fix);
      const left = after.filter(({ code }) => code === finding.code);
      if (fix.title.startsWith('Renumber')) expect(left, fix.title).toEqual([]);
    }
    found[`${finding.code} ${finding.subject}`] = offered.map(({ title }) => title);
  }
  return found;
}

describe('addresses that overlap', () => {
  it('go to the universe behind all others', () => {
    expect(fixes(box('a') + run('x', 'a.1  universe 1', 171) + run('y', 'a.2  universe 2', 10))).toEqual({
      'address-overlap y': ['Use universe 3'],
    });
  });

  it('go there with their slot, where one is pinned', () => {
    // 100 px end at slot 300, in which 10 px from slot 271 on lie.
    expect(fixes(box('a') + run('x', 'a.1  universe 1', 100) + run('y', 'a.2  universe 1 slot 271', 10))).toEqual({
      'address-overlap y': ['Use universe 2 slot 1'],
    });
  });

  it('of a controller go with all its runs', () => {
    // 200 px of x end at slot 90 of universe 2. Behind them is universe 3; z keeps its pin.
    const plan =
      box('a', 1) +
      box('b', 2) +
      run('x', 'a.1', 200) +
      run('y', 'b.1', 50) +
      run('w', 'b.2', 200) +
      run('z', 'b.3  universe 9', 1);
    // w goes on behind y, so b ends in universe 3 and z stands in universe 9: the next is 10.
    expect(fixes(plan)).toEqual({ 'address-overlap y': ['Start b at universe 10'] });
  });

  it('are renumbered together where several do', () => {
    // 400 px of x reach to slot 180 of universe 3, over y and z.
    const plan =
      box('a') +
      run('x', 'a.1  universe 1', 400) +
      run('y', 'a.2  universe 2 slot 4', 171) +
      run('z', 'a.3  universe 3', 10);
    // y takes two universes from 4 on: 170 px and 1.
    const all = 'Renumber all 2: y to universe 4, z to universe 6';
    expect(fixes(plan)).toEqual({
      'address-overlap y': ['Use universe 4 slot 1', all],
      'address-overlap z': ['Use universe 4', all],
    });
  });

  it('are renumbered by controller, each once', () => {
    const plan = ['a', 'b', 'c'].map(
      (name) => box(name, 3) + run(`${name}-1`, `${name}.1`, 10) + run(`${name}-2`, `${name}.2`, 10),
    );
    const titles = fixes(plan.join(''));
    expect(Object.keys(titles).length).toBeGreaterThan(2);
    expect(new Set(Object.values(titles).map((each) => each.at(-1)))).toEqual(
      new Set(['Renumber all 2: b to universe 4, c to universe 5']),
    );
  });

  it('are renumbered together by the names of the first few', () => {
    // 1,700 px of x fill universes 1 to 10, over one of each of the others.
    const names = ['p', 'q', 'r', 's', 't'];
    const plan =
      box('a') +
      run('x', 'a.1  universe 1', 1700) +
      names.map((name, index) => run(name, `a.${index + 2}  universe ${index + 2}`, 10)).join('');
    expect(Object.values(fixes(plan)).map((titles) => titles.at(-1))).toEqual(
      names.map(() => 'Renumber all 5: p to universe 11, q to universe 12, r to universe 13, and 2 more'),
    );
  });

  it('find room in front where there is none behind', () => {
    const plan =
      box('a') +
      run('x', 'a.1  universe 63999', 10) +
      run('y', 'a.2  universe 63999 slot 10', 10) +
      run('w', 'a.3  universe 1', 340);
    // w fills universes 1 and 2.
    expect(fixes(plan)).toEqual({ 'address-overlap y': ['Use universe 3 slot 1'] });
    const { analysis } = analysePlan(PARTS + plan);
    const said = analysis.findings.find(({ code }) => code === 'address-overlap')?.message;
    expect(said).toMatch(/\. Move one of them; universe 3 is free\.$/);
  });
});

describe('addresses out of range', () => {
  it('of a pixel without room are pinned where it starts', () => {
    expect(fixes(box('a') + run('x', 'a.1  universe 5 slot 511', 10))).toEqual({
      'address-range x': ['Pin x to universe 6 slot 1, where it starts', 'Use universe 7 slot 1'],
    });
  });

  it('beyond the last universe start lower', () => {
    expect(fixes(box('a') + run('x', 'a.1  universe 63999', 200) + run('y', 'a.2  universe 1', 171))).toEqual({
      'address-range x': ['Use universe 3'],
    });
    expect(fixes(box('a', 63_999) + run('x', 'a.1', 171))).toEqual({ 'address-range x': ['Start a at universe 1'] });
  });

  it('start behind what stands in front', () => {
    // The runs of b fill universe 1.
    expect(fixes(box('a', 63_999) + box('b', 1) + run('x', 'a.1', 171) + run('y', 'b.1', 10))).toEqual({
      'address-range x': ['Start a at universe 2'],
    });
  });
});
