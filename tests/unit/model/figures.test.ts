import { describe, expect, it } from 'vitest';
import { colourNames } from '#server/model/colour-shift.ts';
import { cornersOf } from '#server/model/corners.ts';
import { forceText } from '#server/model/mast-load.ts';
import { energyText, kilowattHours, seasonAccount } from '#server/model/season.ts';
import { closest } from '#server/model/spelling.ts';
import { bitRate, metres } from '#server/model/texts.ts';
import { analysePlan } from '../../support/plans.ts';

/** Figures as a person reads them, at the ends of their ranges. */

describe('a length in feet', () => {
  it('has no twelfth inch: 2 ft 11.8 in are 3 ft', () => {
    // 35.8 in * 25.4 mm.
    expect(metres(0.90932, 'imperial')).toBe('3 ft');
    // 35 in.
    expect(metres(0.889, 'imperial')).toBe('2 ft 11 in');
  });
});

it('a force is told in pounds where the plan is in feet: one is 4.448 N', () => {
  expect(forceText(2000, 'imperial')).toBe('450 lbf');
  expect(forceText(2000, 'metric')).toBe('2 kN');
});

it('a link of a thousand megabits is one of a gigabit', () => {
  expect([bitRate(1e9), bitRate(999e6), bitRate(1e6), bitRate(999e3)]).toEqual([
    '1 Gbps',
    '999 Mbps',
    '1 Mbps',
    '999 kbps',
  ]);
});

it('a chain of colours starves in all of them', () => {
  expect(colourNames(['chain'])).toBe('all colours');
  expect(colourNames(['green', 'blue'])).toBe('green and blue');
});

describe('energy', () => {
  it('has three digits', () => {
    expect([1, 9.949, 10, 99.4, 99.6, 1234].map(kilowattHours)).toEqual([
      '1.00 kWh',
      '9.95 kWh',
      '10.0 kWh',
      '99.4 kWh',
      '100 kWh',
      '1234 kWh',
    ]);
  });

  it('costs nothing that is told where the season has no price', () => {
    expect(energyText({ joules: 3.6e6, cost: undefined })).toBe('1.00 kWh');
    expect(energyText({ joules: 3.6e6, cost: 0.3 })).toBe('1.00 kWh, cost 0.30');
    const plan = (price: string) => `use "bench.festoon"
plan "x" {
  season 10 nights  of 5 h  at 100 %${price}
}
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box  of board  from psu.1
run row  from box.1 {
  lead 1 m  of lead-18
  string 10 px  of steady-12  every 50 mm
}
`;
    const costOf = (text: string) => {
      const { analysis } = analysePlan(text);
      return seasonAccount(analysis.plan, analysis.account)?.cost;
    };
    expect(costOf(plan(''))).toBeUndefined();
    // 0.601 A at 12 V for 50 h are 0.36 kWh at the supply's output; its part states no efficiency of its own.
    expect(costOf(plan('  price 1 per-kWh'))).toBeGreaterThan(0.3);
  });
});

describe('corners of tolerances', () => {
  const names = (tolerance: string) => {
    const { design } = analysePlan(`plan "x" {\n  air -10 degC to 30 degC\n  tolerance ${tolerance}\n}\n`).analysis
      .plan;
    return cornersOf(design).map(({ name }) => name);
  };

  it('name what strays, and nothing that does not', () => {
    const air = (what: string) => [`${what}, air at 30 degC`, `${what}, air at -10 degC`];
    expect(names('pixels 5 %').sort()).toEqual([...air('pixels +5 %'), ...air('pixels \u22125 %')].sort());
    expect(names('supplies 1 %').sort()).toEqual([...air('supplies +1 %'), ...air('supplies \u22121 %')].sort());
    expect(names('supplies 1 %  pixels 5 %')).toHaveLength(8);
  });
});

it('what is near is looked for among 500 names at most', () => {
  const names = Array.from({ length: 500 }, (_, index) => `box-${index}`);
  expect(closest('gutterx', [...names, 'gutter'])).toBeUndefined();
  expect(closest('gutterx', [...names.slice(1), 'gutter'])).toBe('gutter');
});

describe('boards behind boards', () => {
  const left = 'board left  from psu.2  1 m  of feed-14 {\n  output 1  fuse 10 A\n}\n';
  const right = 'board right  from left.1  2 m  of feed-14 {\n  output 1  fuse 7.5 A\n}\n';
  const least = (boards: string) => {
    const { analysis } = analysePlan(`use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 1 A  cold 1 mohm
  output 2  fuse 15 A  cold 1 mohm
}
${boards}controller box  of data-board  from psu.1
run row  from box.1 {
  lead 1 m  of data-18
  string 50 px  of steady-12  every 50 mm
}
feed row-feed  from right.1  to row.start  1 m  of feed-14
`);
    return [...analysis.account.runs.values()][0]?.least?.volts;
  };

  it('have the same volts in whatever order they stand', () => {
    // 3 A * 3 m * 8.451 mohm/m in V+ alone are 76 mV, so the far board is joined.
    expect(least(left + right)).toBeLessThan(11.9);
    expect(least(right + left)).toBeCloseTo(least(left + right) ?? 0, 9);
  });
});
