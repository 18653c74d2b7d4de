import { expect, test } from 'vitest';
import { levelOf } from '#server/analysis/analysis.ts';
import { cablesOn } from '#server/checks/route-crowded.ts';
import { analysePlan } from '../../support/plans.ts';
import { edit, FAINT, findings, one, planOf } from '../../support/variants.ts';

/** Plans in which a second feed, run or supply must not be taken for the first, and cables along their ways. */
test('of several strings without ground the first is told, and a feed that something else grounds is none of them', () => {
  const gap = edit(planOf('checks/no-ground/found-gap-without-ground'), [
    'string far  5 px  of steady-12  every 50 mm',
    'string far  5 px  of steady-12  every 50 mm\n  string further  5 px  of steady-12  every 50 mm',
  ]);
  expect(one(gap, 'no-ground').message).toContain('From pixel 6 on row');
  const bare = planOf('checks/no-ground/found-feed-without-ground');
  const bonded = bare.concat('bond earth  from psu-a  to psu-b  1 m  of feed-14\n');
  expect(findings(bonded, 'no-ground')).toEqual([]);
});

test('what a feed without ground is to bring home is asked at each of its taps', () => {
  const bare = planOf('checks/no-ground/found-feed-without-ground');
  const grounded = edit(bare, ['eaves-feed  from psu-b.1', 'eaves-feed  from psu-a.1']);
  expect(findings(grounded, 'no-ground')).toEqual([]);
});

test('a reading tells how much is lost, and points to the feeds of its own run', () => {
  const plan = planOf('checks/measured-differs/found');
  const away =
    'run away {\n  string 5 px  of steady-12  every 50 mm\n}\nfeed away-feed  from psu.1  to away.start  1 m  of feed-14\n';
  const found = findings(plan.concat(away), 'measured-differs');
  expect(found).toHaveLength(3);
  for (const each of found) expect(each.related.map(({ message }) => message)).toEqual(['start feeds row.']);
  // 11.82 V less 11.50 V; the plan reckons it.
  expect(found.find(({ message }) => message.includes('11.50 V'))?.message).toContain('0.32 V more are lost');
  // 25 pixels along: 11.8866 - 2 x 0.02 x 21.367 mohm x 0.06 x (25 x 50 - 25 x 24 / 2) = 11.8379 V.
  expect(found.find(({ message }) => message.includes('12.10 V'))?.message).toContain('0.26 V fewer are lost');
});

test('an overloaded supply is advised by its own feeds alone', () => {
  const two = (more: string) => `use "bench.festoon"
part supply small {
  voltage  12 V
  rated    4 A
}
supply psu  of small {
  outputs 1 to 2  fuse 30 A
}
supply other  of bench-12 {
  outputs 1 to 3  fuse 30 A
}
controller box  of data-board  from other.3
run row  from box.1 {
  lead 1 m  of data-18
  string one  70 px  of steady-12  every 1 mm
  cut V+
  string two  20 px  of steady-12  every 1 mm
}
feed one-feed  from psu.1  to row.one  1 m  of feed-14
feed two-feed  from other.1  to row.two  1 m  of feed-14
${more}`;
  // 70 px of 60 mA are 4.2 A.
  expect(one(two(''), 'supply-overloaded').message).toContain('Feed a part of its runs from another supply.');
  const both = two('feed one-end  from psu.2  to row[60]  1 m  of feed-14\n');
  expect(one(both, 'supply-overloaded').message).toContain('Move a feed to another supply.');
});

test('a part that says how warmth takes from it, but not yet here, stands in a closed box like any other', () => {
  const plan = planOf('checks/supply-overloaded/found-warm-box');
  expect(one(plan, 'supply-overloaded').message).toContain('in its warm box');
});

test('a cable with room for its way but not for its slack says what is left of it', () => {
  // 5 m from shed to roof; 0.5 m at each end is asked for.
  const cable = (length: string) =>
    findings(
      `use "bench.festoon"
place shed
place roof
route shed to roof  5 m
${FAINT}supply psu  of bench-12  at shed {
  output 1  fuse 10 A
}
controller box  of board  from psu.1
run row  from box.1 {
  lead ${length}  along shed to roof  of lead-18
  string 5 px  of faint  every 10 mm
}
`,
      'cable-too-short',
    ).map((finding) => `${levelOf(finding)}: ${finding.message}`);
  expect(cable('6 m')).toEqual([]);
  expect(cable('5.99 m').join()).toMatch(/^information: .* 5\.99 m long and leaves 990 mm of slack/);
  expect(cable('5 m').join()).toMatch(/^information: .* 5 m long and leaves 0 mm of slack/);
  expect(cable('4.99 m').join()).toMatch(/^warning: .* 4\.99 m long and does not reach/);
});

test('copper that passes a route is that of all cores of all its cables', () => {
  const { plan } = analysePlan(`use "bench.festoon"
place shed
place roof
route shed to roof  5 m
part cable thick {
  conductor 2.5 mm2
  carries   V+ ground
}
part cable lead-4 {
  conductor 4 mm2
  carries   V+ ground data
}
supply psu  of bench-12  at shed {
  outputs 1 to 3  fuse 10 A
}
controller box  of board  at shed  from psu.1
receiver north  of far-two  at roof  from psu.3 {
  link from box.2  along shed to roof  of pairs
}
run row  from box.1  at roof {
  lead along shed to roof  of lead-4
  string 5 px  of steady-12  every 10 mm
}
feed row-feed  from psu.2  to row.end  along shed to roof  of thick  x 2
`).analysis;
  const [route] = plan.routes;
  if (route === undefined) throw new Error('there is one');
  // 3 cores of 4 mm2; a link counts as a cable without copper; 2 cables of 2 cores of 2.5 mm2.
  expect(cablesOn(plan, route).map(({ name, count, copper }) => [name, count, copper])).toEqual([
    ['the lead of row', 1, 12],
    ['the link of north', 1, 0],
    ['row-feed', 2, 10],
  ]);
});

test('supplies meet behind a cut too, and where each comes in once nothing is said', () => {
  const plan = (more: string) => `use "bench.festoon"
supply psu-a  of bench-12 {
  outputs 1 to 2  fuse 10 A
}
supply psu-b  of bench-12 {
  output 1  fuse 10 A
}
controller box  of data-board  from psu-a.1
run row  from box.1 {
  lead 1 m  of data-18
  string one  20 px  of steady-12  every 50 mm
  cut V+
  string two  20 px  of steady-12  every 50 mm
}
feed one-feed  from psu-a.2  to row.one  1 m  of feed-14
feed two-feed  from psu-b.1  to row.two  1 m  of feed-14
${more}`;
  expect(findings(plan(''), 'supplies-meet')).toEqual([]);
  const met = one(plan('feed two-end  from psu-a.2  to row.two.end  1 m  of feed-14\n'), 'supplies-meet');
  expect(met.message).toContain('psu-a and psu-b meet on V+ of row');
});
