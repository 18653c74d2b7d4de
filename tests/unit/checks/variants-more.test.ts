import { expect, test } from 'vitest';
import { coverageOf, WORD_CHECKS } from '#server/checks/coverage.ts';
import { CHECKS } from '#server/checks/registry.ts';
import { analysePlan } from '../../support/plans.ts';
import { findings, one, planOf } from '../../support/variants.ts';

/** More plans of the checks with a few words changed, and some of their own: who is worst, what counts, at which corner. */

test('the string that is furthest below its own need is named, wherever it stands', () => {
  const plan = planOf('checks/low-voltage/found-worst-string');
  // Three kinds with needs of 11.5, 11.9 and 11.2 V: at the end of the second, lower than the first, most is missing.
  const part = (name: string, least: number) =>
    `part pixel ${name} {\n  voltage 12 V\n  least ${least} V\n  red 60 mA  knee 6 V  dark 5 V\n  idle 0 mA\n  wire 18 AWG\n  rated 30 A\n}\n`;
  const text = plan
    .replace(
      /^ {2}string second.*$/m,
      '  string second  40 px  of eager-12  every 100 mm\n  string third  10 px  of calm-12  every 100 mm',
    )
    .concat(part('eager-12', 11.9), part('calm-12', 11.2));
  expect(one(text, 'low-voltage').message).toMatch(/\(second\); eager-12 needs 11\.90 V/);
  const first = text.replace('least 11.9 V', 'least 10.9 V').replace('least 11.2 V', 'least 10.8 V');
  expect(one(first, 'low-voltage').message).toContain('(first); fussy-12 needs 11.50 V');
});

test('a string whose far end has no voltage left is low, not without power', () => {
  // 2,000 px that hold 60 mA down to half a volt: some 21 mohm a metre and 100 mm a pixel leave nothing at the end.
  const text = `use "bench.festoon"
plan {
  frame-rate 1 fps
}
part pixel stubborn {
  voltage  12 V
  least    10 V
  red      60 mA  knee 0.4 V  dark 0.1 V
  idle     0 mA
  wire     18 AWG
  rated    30 A
}
supply psu  of bench-12 {
  output 1  fuse 30 A  cold 1 mohm
}
controller box  of board  from psu.1
run long  from box.1 {
  string 2000 px  of stubborn  every 100 mm
}
`;
  expect(findings(text, 'no-power')).toEqual([]);
  expect(one(text, 'low-voltage').message).toContain('long sags to');
});

test('what is missing rests on the run, its controller, its feeds and their supplies, and on nothing else', () => {
  const other = `supply far  of bench-12 {
  output 1  fuse 1 A
}
run else {
  string 5 px  of steady-12  every 50 mm
}
feed else-feed  from far.1  to else.start  1 m  of feed-14
`;
  const rests = one(planOf('checks/no-power/found-data-only').concat(other), 'no-power').restsOn ?? [];
  const names = rests.map(({ declaration, start, end }) => declaration.text.slice(start, end).split(/\s+/)[1]);
  expect(names).toContain('eaves');
  expect(names).not.toContain('else-feed');
  expect(names).not.toContain('far');
});

test('pixels and fixtures on one port do not understand each other, in either order; fixtures of any size do', () => {
  const text = planOf('checks/port-pixels/found-dmx-slots');
  const with_ = (first: string, second: string) =>
    text
      .replace(
        /^ {2}string 129.*$/m,
        `  string 5 px  of ${first}  every 10 mm\n  string 5 px  of ${second}  every 10 mm`,
      )
      .concat(
        'part pixel large {\n  voltage 12 V\n  red 1 mA  knee 6 V  dark 5 V\n  idle 0 mA\n  wire 18 AWG\n  dmx\n  slots 9\n}\n',
      );
  expect(findings(with_('faint', 'large'), 'mixed-data')).toEqual([]);
  expect(one(with_('faint', 'steady-12'), 'mixed-data').message).toContain('which takes DMX512-A');
  expect(one(with_('steady-12', 'faint'), 'mixed-data').message).toContain('faint takes DMX512-A');
});

test('of a supply only its own feeds are pointed to', () => {
  const text = planOf('checks/supply-overloaded/found-two-feeds').concat(
    'run away {\n  string 5 px  of steady-5  every 50 mm\n}\nfeed away-feed  from other.1  to away.start  1 m  of feed-14\n',
  );
  const { related } = one(text, 'supply-overloaded');
  expect(related.map(({ message }) => message.split(' ')[0])).toEqual(['star-feed', 'ring-feed']);
});

test('the sizes of a port that is too small are told without panels where there are none', () => {
  expect(one(planOf('checks/port-pixels/found-limit-of-the-board'), 'port-pixels').message).toMatch(
    /^long has 101 pixels; /,
  );
});

test('a free universe is named up to the last one', () => {
  const plan = planOf('checks/address-overlap/found-two-pins').replace('universe 1 slot 271', 'universe 1');
  const said = (universe: number) =>
    one(plan.replaceAll(/(box\.\d {2}universe) 1/g, `$1 ${universe}`), 'address-overlap').message;
  expect(said(1)).toContain('universe 2 is free');
  // The last universe is 63,999 (ANSI E1.31).
  expect(said(63_998)).toMatch(/universe 63,?999 is free/);
  expect(said(63_999)).not.toMatch(/universe 64,?000/);
});

test('an expectation of a route names no look; how far a small limit is missed is a share of that limit', () => {
  const failed = findings(planOf('checks/expectation-failed/found-nominal'), 'expectation-failed');
  const of = (start: string) => failed.find(({ message }) => message.startsWith(start));
  expect(of('The route roof to shed')?.message).toBe(
    'The route roof to shed: 1 cable; the plan expects at most 0 cables.',
  );
  // 642 mA of 500 mA, as the plan reckons: 28.4 % too many.
  expect(of('The circuit garden')?.excess).toBeCloseTo(0.284, 2);
});

test('at corners each finding is said once: the worst of them, and with its corner only where that makes it worse', () => {
  const corner = 'plan {\n  tolerance supplies 1 %\n}\n';
  const low = one(planOf('checks/low-voltage/found-far-end').concat(corner), 'low-voltage');
  expect(low.message.match(/Worst corner/g)).toHaveLength(1);
  expect(low.message).toMatch(/Worst corner: supplies −1 %/);
  // A gap is as long whatever the supplies give.
  expect(one(planOf('checks/gap-too-long/found').concat(corner), 'gap-too-long').message).not.toContain('corner');
  // Of converters the amps rise when the volts fall, of resistors they fall: constant currents stay as they are.
  const fuse = one(planOf('checks/fuse-overloaded/found-above-share').concat(corner), 'fuse-overloaded');
  expect(fuse.message).not.toContain('corner');
});

test('every check that computes tells what it looked at; the others are those of words and names', () => {
  const { analysis } = analysePlan('place shed\n');
  const told = coverageOf(analysis).map(({ check }) => check.code);
  expect(told.length + WORD_CHECKS).toBe(CHECKS.length);
  expect(told).toContain('low-voltage');
  expect(told).not.toContain('wrong-dimension');
  expect(WORD_CHECKS).toBeGreaterThan(5);
});

test('the fixes that are the one thing to do are marked so', () => {
  for (const [plan, title] of [
    ['fuse-too-large/found-feed', 'Use a 15 A fuse'],
    ['port-taken/found', 'Use port box.2'],
  ] as const) {
    const fix = findings(planOf(`checks/${plan}`), plan.split('/')[0] as string)[0]?.fixes?.[0];
    expect(fix).toMatchObject({ title, preferred: true });
  }
});
