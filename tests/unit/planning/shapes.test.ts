import { describe, expect, it } from 'vitest';
import { searchInjection } from '#server/planning/injection-search.ts';
import { bulletPart } from '../../support/parts.ts';
import { analysePlan } from '../../support/plans.ts';

/** What planned feeds cost where the shape of a prop or a price decides. Lengths by hand. */

const plan = (canvas: string, thin = '', thick = '') => `plan "shapes" {
  slack 0.5 m
}
${bulletPart()}part cable data-only {
  conductor 18 AWG
  carries ground data
}
part cable two-core-16 {
  conductor 16 AWG
  carries V+ ground
${thin}}
part cable two-core-12 {
  conductor 12 AWG
  carries V+ ground
${thick}}
part supply psu-part {
  voltage 12 V
  rated 40 A
}
part controller board {
  ports 4
}
place shed
place roof
route shed to roof  4 m
supply psu  of psu-part  at shed {
  output 1  fuse 2 A
}
controller box  of board  at shed  from psu.1
run sail  from box.1  at roof {
  lead 5 m  of data-only
  ${canvas}
}
`;

function bestFor(text: string) {
  const { analysis } = analysePlan(text);
  const run = analysis.plan.runs.get('sail');
  if (run === undefined) throw new Error('the plan has no run');
  const [first] = searchInjection(analysis, run).answers;
  if (first === undefined) throw new Error('nothing is offered');
  return first;
}

describe('the length of a planned feed', () => {
  // Strands of 40 x 50 mm = 2 m, 0.1 m apart: canvas(5) starts 0.4 m off, at the head of the sail. From the shed 4 m of
  // route and 0.5 m of slack at either end: 5.4 m, rounded up to 5.5 m. Along the data wire it would be 8.4 m more.
  it('crosses a matrix instead of following its data', () => {
    const matrix = 'matrix canvas  8 strands x 40 px  of bullet  every 50 mm  spacing 0.1 m';
    const { spots, choice, metres } = bestFor(
      plan(matrix)
        .replace('red 18.5 mA', 'red 1 mA')
        .replace('green 18.5 mA', 'green 1 mA')
        .replace('blue 18.5 mA', 'blue 1 mA'),
    );
    expect(choice.trunk).toBe(false);
    expect(spots).toHaveLength(1);
    const strand = Number(/canvas\((\d)\)/.exec(spots[0]?.text ?? '')?.[1]);
    const isHead = strand % 2 === 1;
    const way = 5 + (strand - 1) * 0.1 + (isHead ? 0 : 2);
    expect(metres).toBeCloseTo(Math.ceil(way / 0.5 - 1e-9) * 0.5, 9);
    expect(metres).toBeLessThan(6);
  });
});

describe('the cable of a planned feed', () => {
  const string = 'string one  40 px  of bullet  every 50 mm';

  it('is the one with least copper where there are no prices', () => {
    expect(bestFor(plan(string)).choice.cable.name).toBe('two-core-16');
  });

  it('is the cheapest where all have one', () => {
    // 0.90 a metre as a drum of 50 m for 45, against 1.20 a metre.
    const { choice, metres, cost } = bestFor(plan(string, '  price 1.20 EUR\n', '  price 45 EUR for 50 m\n'));
    expect(choice.cable.name).toBe('two-core-12');
    expect(cost.material).toBeCloseTo(metres * 0.9, 9);
  });

  it('is the one with least copper where prices cannot be compared', () => {
    for (const price of ['', '  price 0.10 USD\n'])
      expect(bestFor(plan(string, '  price 1.20 EUR\n', price)).choice.cable.name).toBe('two-core-16');
  });
});
