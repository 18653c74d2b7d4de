import { expect, test } from 'vitest';
import { analysePlan } from '../../support/plans.ts';
import { findings, one, planOf } from '../../support/variants.ts';

/** Which of several things is named: the largest, its own, the first that matters; and what is not said besides. */
test('of the fuses in use on a board the largest is held against the one in front, wherever it stands', () => {
  const board = (first: string, second: string) =>
    one(
      `use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 10 A
  output 2  fuse 1 A
}
board left  from psu.1  0.5 m  of feed-14 {
  output 1  fuse ${first}
  output 2  fuse ${second}
}
controller box  of data-board  from psu.2
run eaves  from box.1 {
  lead   1 m  of data-18
  string 20 px  of steady-12  every 50 mm
}
feed eaves-a  from left.1  to eaves.start  1 m  of feed-14
feed eaves-b  from left.2  to eaves.end    1 m  of feed-14
`,
      'main-fuse-small',
    ).message;
  // 10 A in front is no 1.6 times 7.5 A, which is 12 A; 15 A is the next size.
  expect(board('7.5 A', '5 A')).toContain('with a 7.5 A fuse at left.1');
  expect(board('5 A', '7.5 A')).toContain('with a 7.5 A fuse at left.2');
  expect(board('7.5 A', '7.5 A')).toContain('at left.1');
  expect(board('7.5 A', '5 A')).toContain('Use 15 A in front');
});

test('a board without a fuse is not told of a thicker cable where nothing is known of it', () => {
  const text = planOf('checks/feed-unfused/found-board');
  // No table that Festoon holds says what 28 AWG carries.
  const plain = 'part cable plain {\n  conductor 28 AWG\n  carries   V+ ground\n}\n';
  const told = (plan: string) => findings(plan, 'feed-unfused').filter(({ subject }) => subject === 'left');
  expect(told(text).map(({ message }) => message)).toEqual([expect.stringContaining('thicker')]);
  const unrated = told(text.replaceAll('feed-14', 'plain').concat(plain));
  expect(unrated.map(({ message }) => message)).toEqual([expect.not.stringContaining('thicker')]);
});

test('a run that sags says in which string only where that has a name, and a null pixel needs nothing', () => {
  const far = planOf('checks/low-voltage/found-far-end');
  expect(one(far, 'low-voltage').message).not.toContain('undefined');
  // The repeater asks for more than anything gets; it never lights.
  const text = `use "bench.festoon"
part pixel keen {
  voltage  12 V
  least    11.999 V
  red      60 mA  knee 6 V  dark 5 V
  idle     1 mA
  wire     18 AWG
}
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box  of board  from psu.1
run row  from box.1 {
  lead 1 m  of lead-18
  string 10 px  of steady-12  every 50 mm
  gap 1 m
  null 1 px  of keen
  gap 1 m
  string 10 px  of steady-12  every 50 mm
}
`;
  expect(analysePlan(text).analysis.findings.map(({ code }) => code)).not.toContain('low-voltage');
});

test('what a wrong voltage spoils is its own run, supply, controller and feeds', () => {
  const text = planOf('checks/wrong-voltage/found-too-high').concat(
    `run away {
  string 5 px  of steady-12  every 50 mm
}
supply far  of bench-12 {
  output 1  fuse 10 A
}
feed away-feed  from far.1  to away.start  1 m  of feed-14
`,
  );
  const { spoils = [] } = one(text, 'wrong-voltage');
  expect(spoils.length).toBeGreaterThan(1);
  expect(spoils).not.toContain('away-feed');
});

test('a reading that is too low says how much is lost without a sign', () => {
  const { findings } = analysePlan(planOf('checks/measured-differs/found')).analysis;
  for (const { code, message } of findings) if (code === 'measured-differs') expect(message).not.toMatch(/[-−]\d/);
});
