import { expect, test } from 'vitest';
import { laneScale } from '#server/drawing/lane-scale.ts';
import { runDrawing } from '#server/drawing/run-drawing.ts';
import type { Drawing, Group, Shape } from '#server/drawing/shape.ts';
import { siteDrawing } from '#server/drawing/site-drawing.ts';
import { svgFile } from '#server/drawing/svg.ts';
import { wiringDrawing } from '#server/drawing/wiring-drawing.ts';
import { SolutionCache } from '#server/model/solution-cache.ts';
import { analysePlan } from '../../support/plans.ts';
import { hostOfDisplay, sampleDisplays } from '../../support/samples.ts';
import { SMALL } from '../cli/console.ts';

const groupsOf = (drawing: Drawing): Group[] => {
  const found: Group[] = [];
  const visit = (shape: Shape) => {
    if (shape.kind !== 'group') return;
    found.push(shape);
    shape.shapes.forEach(visit);
  };
  drawing.shapes.forEach(visit);
  return found;
};

function drawn(plan: string, name: string): Drawing {
  const { analysis } = analysePlan(plan);
  const run = analysis.plan.runs.get(name);
  if (run === undefined) throw new Error(`no run ${name}`);
  return runDrawing(analysis.plan, analysis.account, run, new SolutionCache());
}

test('strings and gaps lie to scale', () => {
  // 10 px every 100 mm is 1 m, a gap of 3 m, then 20 px every 50 mm, 1 m: a fifth, three fifths, a fifth.
  const text = SMALL.replace(
    '  string edge  10 px  of bullet  every 100 mm',
    '  string edge  10 px  of bullet  every 100 mm\n  gap 3 m\n  string far  20 px  of bullet  every 50 mm',
  );
  const run = analysePlan(text).analysis.plan.runs.get('porch-edge');
  if (run === undefined) throw new Error('no run');
  const scale = laneScale(run, 100, 600);
  expect([...scale.spans.values()].map(([from, to]) => [Math.round(from), Math.round(to)])).toEqual([
    [100, 200],
    [200, 500],
    [500, 600],
  ]);
  const far = run.pieces.find((piece) => piece.kind === 'string' && piece.element === 'far');
  if (far?.kind !== 'string') throw new Error('no string');
  // Behind pixel 5 of 20.
  expect(scale.joint(far, 5)).toBeCloseTo(525);
});

test('what is drawn is also said, with its figures', () => {
  const says = groupsOf(drawn(SMALL, 'porch-edge')).map((group) => group.says);
  expect(says).toContainEqual(expect.stringMatching(/^Run porch-edge: 10 pixels, 600 mA, least 11\.\d\d V at \[10\]$/));
  expect(says).toContainEqual(expect.stringMatching(/^Feed porch-feed from psu\.1, 2 A fuse, 600 mA, 0\.10 V lost$/));
  expect(says).toContainEqual(expect.stringMatching(/^full-white at 100 %: from 11\.\d\d V at the first pixel/));
  // Red, the only colour of this pixel, is all of its white; green draws nothing, so nothing is lost on the way.
  expect(says).toContainEqual(
    expect.stringMatching(/^green at 100 %: from 12\.00 V at the first pixel, least 12\.00 V/),
  );
});

test('what is too low or too much is said in words, not by colour alone', () => {
  const low = groupsOf(drawn(SMALL.replace('least   11 V', 'least   11.95 V'), 'porch-edge')).map(({ says }) => says);
  expect(low).toContainEqual(expect.stringMatching(/LOW: it needs 11\.95 V/));
  const over = groupsOf(drawn(SMALL.replace('fuse 2 A', 'fuse 500 mA'), 'porch-edge')).map(({ says }) => says);
  expect(over).toContainEqual(expect.stringMatching(/^Feed porch-feed .*OVERLOADED$/));
});

test('what meets its limit exactly is neither too low nor too much, whatever the sum is rounded to', () => {
  // Pixels of 60 mA, so many that they take what the fuse and the cable of their feed are rated for.
  const says = (pixels: number, milliamps: number) => {
    const plan = `use "bench.festoon"
part cable just {
  conductor 14 AWG
  carries V+ ground
  rated ${milliamps} mA
}
supply psu  of bench-12 {
  output 1  fuse ${milliamps} mA
}
run eaves {
  string s  ${pixels} px  of steady-12  every 10 mm
}
feed f  from psu.1  to eaves.end  1 m  of just
`;
    return groupsOf(drawn(plan, 'eaves')).map((group) => group.says);
  };
  for (const pixels of [3, 5, 7, 11, 19, 23, 29, 35, 41])
    expect(says(pixels, 60 * pixels).filter((text) => /OVERLOADED|LOW/.test(text))).toEqual([]);
  expect(says(5, 299)).toContainEqual(expect.stringMatching(/^Feed f .*OVERLOADED$/));
});

test('a route with too many cables says so', () => {
  const { analysis } = analysePlan(SMALL.replace('limit 2 cables', 'limit 0 cables'));
  const says = groupsOf(siteDrawing(analysis.plan)).map((group) => group.says);
  expect(says).toContain('Route shed to porch: 9 m, 1 cable of 0, TOO MANY');
});

const HOSTILE = SMALL.replace('run porch-edge', 'run porch-edge "</text><script>alert(1)</script>\u202e&"').replace(
  'place shed',
  'place shed "<image href=\'http://evil.example/x\'/>"',
);

test.each([
  ['a hostile plan', HOSTILE],
  ['an empty plan', 'plan "x"\n'],
  ['names alone', 'run a\nfeed b\nsupply c\ncontroller d\nplace e\n'],
])('the drawings of %s are well-formed and hold nothing but known shapes', (_, text) => {
  const { analysis } = analysePlan(text);
  const drawings = [wiringDrawing(analysis.plan, analysis.account), siteDrawing(analysis.plan)];
  for (const run of analysis.plan.runs.values())
    drawings.push(runDrawing(analysis.plan, analysis.account, run, new SolutionCache()));
  for (const drawing of drawings) {
    const svg = svgFile(drawing);
    const tags = [...svg.matchAll(/<(\/?)([a-z]+)/g)].map(([, , name]) => name);
    expect(new Set(tags)).toEqual(new Set([...tags].filter((tag) => TAGS.has(tag ?? ''))));
    expect(svg).not.toMatch(/\u202e|NaN|undefined|Infinity/);
    const depth =
      [...svg.matchAll(/<(g|svg|text|title)[ >]/g)].length - [...svg.matchAll(/<\/(g|svg|text|title)>/g)].length;
    expect(depth).toBe(0);
  }
});

const TAGS = new Set(['svg', 'g', 'title', 'text', 'line', 'rect', 'polyline', 'polygon']);

test.each(sampleDisplays().map((display) => [display.name, display] as const))(
  'every shape of %s lies on its sheet',
  (_, display) => {
    const analysis = hostOfDisplay(display).analyse(display.main);
    const drawings = [wiringDrawing(analysis.plan, analysis.account), siteDrawing(analysis.plan)];
    for (const { width, height, shapes } of drawings) {
      const visit = (shape: Shape): void => {
        if (shape.kind === 'group') return shape.shapes.forEach(visit);
        const points: (readonly [number, number])[] =
          shape.kind === 'line'
            ? [
                [shape.x1, shape.y1],
                [shape.x2, shape.y2],
              ]
            : shape.kind === 'path'
              ? [...shape.points]
              : [[shape.x, shape.y]];
        for (const [x, y] of points) {
          expect(x).toBeGreaterThanOrEqual(-1);
          expect(x).toBeLessThanOrEqual(width + 1);
          expect(y).toBeGreaterThanOrEqual(-1);
          expect(y).toBeLessThanOrEqual(height + 1);
        }
      };
      shapes.forEach(visit);
    }
  },
);
