import { describe, expect, test } from 'vitest';
import { levelOf } from '#server/analysis/analysis.ts';
import type { Finding } from '#server/model/finding.ts';
import { analysePlan } from '../../support/plans.ts';
import { edit, findings, one, planOf } from '../../support/variants.ts';

/** Plans that stand at the edge of a rule, or in which a second thing of a kind must not be taken for the first. */
const textOf = ({ declaration, start, end }: Finding['origin']) => declaration.text.slice(start, end);

test('at its whole rating a thing is loaded more than it should be; beyond it is wrong', () => {
  // What that plan reckons: 4 A from the supply and its output, 0.4 A of mains; the device holds 30 mA.
  const at = (rated: string, fuse: string, breaker: string, leakage: string) =>
    edit(
      planOf('limits/power'),
      [/rated {9}5 A/, `rated         ${rated}`],
      [/output 1 {2}fuse 5 A/, `output 1  fuse ${fuse}`],
      [/circuit garden {2}0.5 A/, `circuit garden  ${breaker}`],
      [/leakage {7}15 mA/, `leakage       ${leakage}`],
    );
  const levels = (text: string) =>
    Object.fromEntries(
      findings(text)
        .filter(({ code }) => code !== 'circuit-inrush')
        .map((finding) => [finding.code, levelOf(finding)]),
    );
  const all = (level: string) => ({
    'supply-overloaded': level,
    'fuse-overloaded': level,
    'circuit-overloaded': level,
    'residual-current': level,
  });
  expect(levels(at('4 A', '4 A', '0.4 A', '30 mA'))).toEqual(all('warning'));
  expect(levels(at('3.99 A', '3.99 A', '0.399 A', '30.1 mA'))).toEqual(all('error'));
  const port = (fuse: string) =>
    one(planOf('limits/port').replace('port-fuse  5 A', `port-fuse  ${fuse}`), 'port-overloaded');
  expect(levelOf(port('4 A'))).toBe('warning');
  expect(levelOf(port('3.99 A'))).toBe('error');
});

test('what leaks is told in milliamperes, three digits of it', () => {
  const leaking = (leakage: string) =>
    one(edit(planOf('limits/power'), [/leakage {7}15 mA/, `leakage       ${leakage}`]), 'residual-current').message;
  expect(leaking('15.14 mA')).toContain('leak 15.1 mA together. Its 30 mA device may trip from 15 mA');
  expect(leaking('22.25 mA')).toMatch(/leak 22\.[23] mA together/);
});

test('a cable is named with its number only where there are several', () => {
  for (const [plan, code] of [
    ['checks/cable-overloaded/found-feed', 'cable-overloaded'],
    ['checks/fuse-too-large/found-board', 'fuse-too-large'],
    ['checks/fuse-too-large/found-feed', 'fuse-too-large'],
  ] as const) {
    const said = findings(planOf(plan), code);
    expect(said.length).toBeGreaterThan(0);
    for (const { message } of said) expect(message).not.toContain(' x 1');
  }
  // 300 px of 60 mA are 18 A; three cables of 5 A carry 15 A.
  const trunk = `use "bench.festoon"
part cable thin {
  conductor 14 AWG
  carries   V+ ground
  rated     5 A
}
supply psu  of bench-12 {
  output 1  fuse 25 A
}
controller box  of data-board  from psu.1
run row  from box.1 {
  lead 1 m  of data-18
  string 300 px  of steady-12  every 1 mm
}
feed row-feed  from psu.1  to row.start  1 m  of thin  x 3
`;
  expect(one(trunk, 'cable-overloaded').message).toContain('thin x 3 is rated for 15 A');
});

test('a connector carries what its busier contact carries', () => {
  // Two zones of 20 px x 50 mA, 1 A each, the grounds joined by a string of next to no resistance. The feeds are of the same
  // cable, 10 m and 30 m beside which splices are nothing: of the 2 A that come home, 1.5 A take the short one and 0.5 A the
  // long one, while each V+ carries 1 A.
  const zones = (near: string, far: string) => `use "bench.festoon"
part pixel even {
  voltage  12 V
  least    7 V
  red      50 mA  knee 6 V  dark 5 V
  idle     0 mA
  wire     10 AWG
}
part cable thin {
  conductor 24 AWG
  carries   V+ ground
  rated     30 A
}
part connector small {
  rated    1.2 A
  contact  1 mohm
}
part connector smaller {
  rated    0.8 A
  contact  1 mohm
}
part connector large {
  rated    10 A
  contact  1 mohm
}
supply psu  of bench-12 {
  outputs 1 to 3  fuse 10 A
}
controller box  of data-board  from psu.3
part cable data-wire {
  conductor 18 AWG
  carries   data
}
run row  from box.1 {
  lead 1 m  of data-wire
  string one  20 px  of even  every 0.1 mm
  cut V+
  string two  20 px  of even  every 0.1 mm
}
feed first   from psu.1  to row.one  10 m  of thin  with ${near}
feed second  from psu.2  to row.two  30 m  of thin  with ${far}
`;
  const near = one(zones('small', 'large'), 'connector-overloaded');
  expect(near.message).toMatch(/small at this tap carries 1\.(49|50) A/);
  expect(findings(zones('large', 'small'), 'connector-overloaded')).toEqual([]);
  expect(one(zones('large', 'smaller'), 'connector-overloaded').message).toContain('carries 1.00 A');
});

describe('a string whose converters collapse', () => {
  // Two lamps of 6 W, 35 m and 70 m from 8 V, 42.73 mohm a metre there and back. The second one cannot be lit even alone (2.99
  // ohm, see the plan of one lamp). While its end stays at the 5 V of its lockout, the first one has V where
  // (8 - V) / 1.4957 = 6 / V + (V - 5) / 1.4957: 5.71 V, more than 5 V.
  const far = (strings: string) => edit(planOf('checks/voltage-collapse/found'), [/ {2}string 1 px.*\n/, strings]);

  test('is said to do so from its first pixel below the lockout on', () => {
    const found = one(far('  string 2 px  of lamp  every 35 m\n'), 'voltage-collapse');
    expect(found.message).toContain('From pixel 2 of far');
  });

  test('lies below the lockout by a share of it', () => {
    const { analysis } = analysePlan(planOf('checks/voltage-collapse/found'));
    const [run] = analysis.account.runs.values();
    const least = run?.strings[0]?.least.volts ?? 0;
    const { excess = 0 } = one(planOf('checks/voltage-collapse/found'), 'voltage-collapse');
    // The lockout of the lamp is 5 V.
    expect(excess * 5).toBeCloseTo(5 - least, 9);
    expect(excess).toBeGreaterThan(0);
    expect(excess).toBeLessThan(1);
  });
});

test('what has no fuse rests on the line of its output, where a fuse could be written', () => {
  for (const plan of ['found', 'found-board', 'found-controller'])
    for (const { message, restsOn = [], related } of findings(planOf(`checks/feed-unfused/${plan}`), 'feed-unfused')) {
      const [, output] = /\.(\d+) has no fuse/.exec(message) ?? [];
      expect(restsOn.map(textOf)).toEqual([output]);
      expect(related.map(({ origin }) => origin)).toEqual(restsOn);
    }
});

test('doubled cables to a board stand twice as much', () => {
  // 135 % of 20 A are 27 A; two cables of 13.5 A carry that, three of 9 A too, two of 13.4 A do not.
  const board = (rated: string, parallel: string) =>
    findings(
      edit(
        planOf('limits/port'),
        [/rated {5}27 A/, `rated     ${rated}`],
        ['1 m  of thicker', `1 m  of thicker ${parallel}`],
      ),
      'feed-unfused',
    );
  expect(board('13.5 A', 'x 2')).toEqual([]);
  expect(board('9 A', 'x 3')).toEqual([]);
  expect(
    board('13.4 A', 'x 2')
      .map(({ message }) => message)
      .join(),
  ).toContain('carries 26.8 A, less than the 27 A');
});

test('a smaller fuse in front of a board is offered where its line is its own', () => {
  const [board] = findings(planOf('checks/fuse-too-large/found-board'), 'fuse-too-large');
  expect(board?.fixes.map(({ title }) => title)).toEqual(['Use a 15 A fuse']);
  expect(board?.fixes[0]?.edits.map(({ origin, text }) => [textOf(origin), text])).toEqual([['20 A', '15 A']]);
});
