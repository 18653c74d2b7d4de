import { describe, expect, it } from 'vitest';
import { finish } from '#server/model/steps.ts';
import { suggestFixes, whyNoFix } from '#server/planning/suggestions.ts';
import { analysePlan } from '../../support/plans.ts';

/**
 * Why no injection helps a run, in the words of the plan. The run has 100 pixels of 60 mA, 6 A in all, on a lead without V+
 * from a board that is powered from elsewhere: it has no power at all before something feeds it.
 */
function planWith({
  pixel = 'red 60 mA  knee 6 V  dark 5 V',
  cable = 'part cable cord {\n  conductor 14 AWG\n  carries V+ ground\n  rated 15 A\n}',
  supplies = 'supply psu  of bench-12  at shed {\n  output 1  fuse 15 A\n}',
  rest = '',
  route = '',
  size = '100 px',
  lead = '1 m',
}: Readonly<Record<string, string>>): string {
  return `plan "x" {
  frame-rate 5 fps
}
part pixel dot {
  voltage  12 V
  least    10.8 V
  ${pixel}
  idle     0 mA
  wire     18 AWG
  rated    30 A
}
part cable data {
  conductor 18 AWG
  carries   ground data
}
${cable}
part supply bench-12 {
  voltage  12 V
  rated    100 A
}
part supply small-12 {
  voltage  12 V
  rated    5 A
}
part supply bench-5 {
  voltage  5 V
  rated    100 A
}
part controller board {
  ports 8
  lead-limit 20 m
}
place shed
place roof
route shed to roof  5 m${route}
${supplies}
controller box  of board  at shed
run eaves  from box.1  at roof {
  lead   ${lead}  of data
  string gutter  ${size}  of dot  every 10 mm${rest}
}
`;
}

/** What is told of the run that has no power; there must be no fix beside it. */
function reasonOf(text: string): string | undefined {
  const { analysis } = analysePlan(text);
  const finding = analysis.findings.find(({ code, subject }) => code === 'no-power' && subject === 'eaves');
  if (finding === undefined) throw new Error('the run has power');
  expect(finish(suggestFixes(analysis, finding)).map(({ title }) => title)).toEqual([]);
  const refusal = whyNoFix(analysis, finding);
  expect(refusal?.title).toBe('Inject power into eaves');
  return refusal?.reason;
}

describe('no injection helps', () => {
  it('where every joint is marked no-tap', () => {
    expect(reasonOf(planWith({ rest: '  no-tap' }))).toBe('every joint of eaves is tapped already or marked no-tap');
  });

  it('where the plan has no cable for it', () => {
    expect(reasonOf(planWith({ cable: '' }))).toBe('the plan has no cable that carries V+ and ground and nothing else');
  });

  it('where no fuse protects the cable that it has', () => {
    // The smallest blade fuse has 1 A.
    const cable = 'part cable cord {\n  conductor 28 AWG\n  carries V+ ground\n  rated 0.3 A\n}';
    expect(reasonOf(planWith({ cable }))).toMatch(/^no cable at hand is thick enough at 12\.00 V: /);
  });

  it('where no supply gives its voltage', () => {
    const supplies = 'supply psu  of bench-5  at shed {\n  output 1  fuse 15 A\n}';
    expect(reasonOf(planWith({ supplies }))).toBe('no supply gives the voltage that eaves is made for');
  });

  it('where no supply has as much to spare: 80 % of 5 A are 4 A', () => {
    const supplies = 'supply psu  of small-12  at shed {\n  output 1  fuse 15 A\n}';
    const reason = 'no supply in reach has 6.00 A to spare, the most is 4.00 A';
    expect(reasonOf(planWith({ supplies }))).toBe(reason);
    // 0.72 W at 12 V are 60 mA as well.
    expect(reasonOf(planWith({ supplies, pixel: 'converter 0.72 W  lockout 5 V' }))).toBe(reason);
    const two = `${supplies}\n${supplies.replace('psu', 'other')}`;
    expect(reasonOf(planWith({ supplies: two }))).toBe(
      `${reason}; several have it together, but V+ must be cut between them`,
    );
  });

  it('where a route has no room', () => {
    const text = planWith({ route: '  limit 1 cables', lead: '6 m along shed to roof' });
    expect(reasonOf(text)).toBe('no room for another cable from shed to roof');
  });

  it('where no cable is thick enough', () => {
    const cable = 'part cable cord {\n  conductor 28 AWG\n  carries V+ ground\n  rated 15 A\n}';
    // A pair of 28 AWG has 0.44 ohm a metre: over 100 m one ampere would lose all.
    const far = planWith({ cable }).replace('shed to roof  5 m', 'shed to roof  100 m');
    expect(reasonOf(far)).toBe(
      'no cable at hand is thick enough at 12.00 V: add a thicker one, raise the supply, or split the run',
    );
    // What a supply gives at most is not known, so it is no reason.
    const unrated = far.replace('  rated    100 A\n}\npart supply small', '}\npart supply small');
    expect(reasonOf(unrated)).toMatch(/^no cable at hand is thick enough at 12\.00 V: /);
  });

  it('where its mains circuit has no more for it beside what another supply takes', () => {
    // Each run takes 6 A at 12 V, and its supply 72 W / 85 % / 0.55 / 120 V = 1.3 A. 80 % of 2 A are 1.6 A.
    const plan = (circuit: string) =>
      planWith({
        supplies: `circuit garden  2 A  120 V
circuit kitchen  2 A  120 V
supply psu  of bench-12  at shed  on garden {
  output 1  fuse 15 A
}
supply other  of bench-12  on ${circuit} {
  output 1  fuse 15 A
}`,
      }).concat(`run second  from box.2 {
  lead 1 m  of data
  string 100 px  of dot  every 1 mm
}
feed second-feed  from other.1  to second.start  1 m  of cord
`);
    expect(analysePlan(plan('garden')).analysis.findings.map(({ code }) => code)).not.toContain('circuit-overloaded');
    expect(() => reasonOf(plan('kitchen'))).toThrow();
    expect(reasonOf(plan('garden'))).toBeDefined();
  });

  it('where nothing stands at a place, so that no way is too crowded', () => {
    const cable = 'part cable cord {\n  conductor 28 AWG\n  carries V+ ground\n  rated 0.3 A\n}';
    const placed = planWith({ cable, route: '  limit 1 cables', lead: '6 m along shed to roof' });
    expect(reasonOf(placed)).toBe('no room for another cable from shed to roof');
    expect(reasonOf(placed.replace('of bench-12  at shed', 'of bench-12'))).toMatch(
      /^no cable at hand is thick enough/,
    );
    // A place to which no way leads.
    const apart = placed.replace('of bench-12  at shed', 'of bench-12  at barn').concat('place barn\n');
    expect(reasonOf(apart)).toMatch(/^no cable at hand is thick enough/);
  });

  it('where the plan is so large that nothing is searched', () => {
    expect(reasonOf(planWith({ size: '100001 px' }))).toBe('fixes are searched for in plans of up to 100,000 pixels.');
  });
});
