import { expect, test } from 'vitest';
import { sure } from '#grammar/sure.ts';
import { laneScale } from '#server/drawing/lane-scale.ts';
import { runDrawing } from '#server/drawing/run-drawing.ts';
import { type Drawing, type Group, type Shape, widthOf } from '#server/drawing/shape.ts';
import { siteDrawing } from '#server/drawing/site-drawing.ts';
import { svgFile } from '#server/drawing/svg.ts';
import { wiringDrawing } from '#server/drawing/wiring-drawing.ts';
import { SolutionCache } from '#server/model/solution-cache.ts';
import { NULL_AT_END } from '../../support/parts.ts';
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

/** The texts that are written in a drawing. */
const writtenIn = (drawing: Drawing): string[] => {
  const texts: string[] = [];
  const visit = (shape: Shape): void => {
    if (shape.kind === 'label') texts.push(shape.text);
    if (shape.kind === 'group') shape.shapes.forEach(visit);
  };
  drawing.shapes.forEach(visit);
  return texts;
};

test.each(['left to right', 'right to left'])(
  'a way between places that stand one above the other, %s, goes from the lower edge to the upper one',
  (way) => {
    const text = `place gate\nplace left\nplace right\nroute gate to left 1 m\nroute gate to right 1 m\nroute ${way} 1 m\n`;
    const groups = groupsOf(siteDrawing(analysePlan(text).analysis.plan));
    const box = (name: string) => {
      const bar = groups.find(({ says }) => says === `Place ${name}`)?.shapes.find(({ kind }) => kind === 'bar');
      if (bar?.kind !== 'bar') throw new Error('no box');
      return bar;
    };
    const line = groups.find(({ says }) => says.startsWith(`Route ${way}:`))?.shapes[0];
    if (line?.kind !== 'line') throw new Error('no line');
    const [upper, lower] = [box('left'), box('right')];
    expect(upper.x).toBe(lower.x);
    expect(upper.y).toBeLessThan(lower.y);
    expect([line.y1, line.y2].sort((a, b) => a - b)).toEqual([upper.y + upper.height, lower.y]);
    // It starts where the route does.
    expect(line.y1 < line.y2).toBe(way === 'left to right');
    expect([line.x1, line.x2]).toEqual([upper.x + upper.width / 2, upper.x + upper.width / 2]);
  },
);

test('nothing is asked of a null pixel, where the voltage is least as well', () => {
  const texts = groupsOf(drawn(NULL_AT_END, 'row')).map(({ says }) => says);
  expect(texts).toContainEqual(expect.stringMatching(/^Least voltage 11\.\d\d V at pixel 11$/));
  expect(texts.filter((text) => text.startsWith('Least for true white'))).toEqual(['Least for true white: 10.8 V']);
});

test('a run of which a part has no power is drawn down to nothing', () => {
  // 48 V before the cut, 0 V behind it: an axis of 10 V a step.
  const plan = `part pixel high {
  voltage  48 V
  red      10 mA  knee 20 V  dark 10 V
  wire     18 AWG
}
part cable data-18 {
  conductor 18 AWG
  carries   ground data
}
part supply psu-part {
  voltage  48 V
  rated    10 A
}
part controller board {
  ports  1
}
supply psu  of psu-part {
  output 1  fuse 10 A
}
controller box  of board
run eaves  from box.1 {
  lead 1 m  of data-18
  string near  10 px  of high  every 10 mm
  cut V+
  string far   10 px  of high  every 10 mm
}
feed f  from psu.1  to eaves.start  1 m  of pair
part cable pair {
  conductor 14 AWG
  carries   V+ ground
}
`;
  const drawing = drawn(plan, 'eaves');
  const axis = writtenIn(drawing).filter((text) => /^\d+ V$/.test(text));
  expect(axis).toEqual(['0 V', '10 V', '20 V', '30 V', '40 V']);
  expect(groupsOf(drawing).map(({ says }) => says)).toContainEqual(
    expect.stringMatching(/^full-white at 100 %: from 4[78]\.\d\d V at the first pixel, least 0\.00 V, to 0\.00 V/),
  );
});

test('a curve of a long run has no more points than can be seen, and those of its ends', () => {
  const plan = SMALL.replace('10 px', '4000 px').replace('every 100 mm', 'every 0.1 mm').replace('60 mA', '0.01 mA');
  const curve = groupsOf(drawn(plan, 'porch-edge'))
    .find(({ says }) => says.startsWith('full-white'))
    ?.shapes.find(({ kind }) => kind === 'path');
  if (curve?.kind !== 'path') throw new Error('no curve');
  expect(curve.points.length).toBeLessThan(400);
  const [first, last] = [curve.points[0], curve.points.at(-1)];
  const bar = groupsOf(drawn(plan, 'porch-edge')).find(({ says }) => says.startsWith('edge, pixels'))?.shapes[0];
  if (bar?.kind !== 'bar' || first === undefined || last === undefined) throw new Error('no string');
  expect(last[0]).toBeCloseTo(bar.x + bar.width);
  // Pixel 1 of 4,000 stands behind its own pitch.
  expect(first[0]).toBeCloseTo(bar.x + bar.width / 4000);
});

test('each corner that the plan allows for has a curve of its own', () => {
  const plan = SMALL.replace('frame-rate 40 fps', 'frame-rate 40 fps\n  tolerance supplies 5 %');
  const says = groupsOf(drawn(plan, 'porch-edge')).map((group) => group.says);
  // 12 V and 5 % less or more before the same wires, whose pixels hold their current: 0.6 V either way.
  const least = (start: string) =>
    Number(says.find((text) => text.startsWith(start))?.match(/least (\d+\.\d\d) V/)?.[1]);
  expect(least('full-white') - least('supplies −5 %')).toBeCloseTo(0.6, 1);
  expect(least('supplies +5 %') - least('full-white')).toBeCloseTo(0.6, 1);
});

test('the lines of a legend stand beside each other only where they fit', () => {
  const { analysis } = analysePlan(SMALL);
  const run = sure([...analysis.plan.runs.values()][0]);
  for (const width of [560, 700, 960, 3000]) {
    const drawing = runDrawing(analysis.plan, analysis.account, run, new SolutionCache(), width);
    const texts = drawing.shapes.flatMap((shape) =>
      shape.kind !== 'group' || !/, least [\d.]+ V$/.test(shape.says)
        ? []
        : shape.shapes.flatMap((inner) => (inner.kind === 'label' && inner.text.includes(': least ') ? [inner] : [])),
    );
    expect(texts.length, String(width)).toBeGreaterThanOrEqual(4);
    for (const one of texts) {
      expect(one.y).toBeLessThanOrEqual(drawing.height);
      for (const other of texts)
        if (one !== other && one.y === other.y && one.x < other.x)
          expect(one.x + widthOf(one.text), `${width}: ${one.text}`).toBeLessThan(other.x);
    }
  }
});

test('a plan without places says so where places would be drawn', () => {
  const { analysis } = analysePlan('plan "Bare" {\n}\n');
  expect(siteDrawing(analysis.plan).shapes).toContainEqual(
    expect.objectContaining({ kind: 'label', text: expect.stringContaining('no places yet') }),
  );
});
