/** A long stretch at a few places only: as good as it promises, at the price that it promises, and spread to its pixels. */
import { describe, expect, test } from 'vitest';
import { chainVolts, solveChain } from '#server/electrics/solve/chain.ts';
import { fitInterval, isRegulated } from '#server/electrics/solve/chain-interval.ts';
import { roughVolts, solveRough, spreadRough } from '#server/electrics/solve/chain-rough.ts';
import { type Chain, newChain, newChainScratch } from '#server/electrics/solve/chain-state.ts';
import { compileLoadCurve, curveAmps, type LoadCurve } from '#server/electrics/solve/load-curve.ts';
import { converter, kneeAmps, resistive } from '../../support/circuits.ts';
import { swept } from '../../support/plain-sweep.ts';

const knee = compileLoadCurve(kneeAmps(0.05, 9, 10), 1);

describe('a dozen nodes for a hundred pixels', () => {
  // A slope of 1.5 x 0.05 A / 1 V at most: 5e-3 ohm x 0.075 S x 64 = 0.024, so that nodes stand eight pitches apart.
  const [count, ohms, ends] = [96, 5e-3, [10.4, 10.1] as const];

  function roughly(start: number = ends[0], end: number = ends[1]) {
    const scratch = newChainScratch(count);
    scratch.tolerance = roughVolts;
    const chain = newChain(count, ohms, knee);
    expect(solveRough(chain, start, end, scratch)).toBe(true);
    return { chain, scratch };
  }

  test('their volts are those of the pixels to some millionths, in a few sweeps', () => {
    const { chain, scratch } = roughly();
    expect(chain.rough).toHaveLength(13);
    const exact = swept(knee, count, ohms, ...ends);
    // The tolerance lets a step of half a millivolt be the last.
    chain.rough!.forEach((volts, i) => expect(Math.abs(volts - exact[8 * i]!)).toBeLessThan(2e-5));
    expect(scratch.work).toBeLessThanOrEqual(7 * 12);
    expect(chain.startAmps / ((exact[0]! - exact[1]!) / ohms)).toBeCloseTo(1, 3);
  });

  test('their currents are those of the pixels to a ten-thousandth, their slopes to some thousandths', () => {
    for (const [start, end] of [ends, [10.9, 9.6], [9.5, 10.8], [9.8, 9.7]] as const) {
      const { chain, scratch } = roughly(start, end);
      // Once more, from where they are: then what is left is the error of the rule alone.
      for (let i = 0; i < 3; i++) solveRough(chain, start, end, scratch);
      const h = 1e-4;
      const flows = (a: number, b: number) => {
        const u = swept(knee, count, ohms, a, b);
        return [(u[0]! - u[1]!) / ohms, (u[count - 1]! - u[count]!) / ohms - curveAmps(knee, b)] as const;
      };
      const [into, onward] = flows(start, end);
      const total = into - onward;
      expect(Math.abs(chain.startAmps - into) / total).toBeLessThan(1e-4);
      expect(Math.abs(chain.endAmps - onward) / total).toBeLessThan(1e-4);
      const [up, down] = [flows(start + h, end), flows(start - h, end)];
      const [endUp, endDown] = [flows(start, end + h), flows(start, end - h)];
      expect(Math.abs(chain.startSlope / ((up[0] - down[0]) / (2 * h)) - 1)).toBeLessThan(5e-3);
      expect(Math.abs(chain.endSlope / ((endDown[1] - endUp[1]) / (2 * h)) - 1)).toBeLessThan(5e-3);
      expect(Math.abs(chain.crossSlope - (up[1] - down[1]) / (2 * h))).toBeLessThan(5e-3 * chain.startSlope);
    }
  });

  test('when the ends move they move along, and need a sweep or two', () => {
    const { chain, scratch } = roughly();
    scratch.work = 0;
    const moved = [10.41, 10.08] as const;
    expect(solveRough(chain, ...moved, scratch)).toBe(true);
    expect(scratch.work).toBeLessThanOrEqual(2 * 12);
    const exact = swept(knee, count, ohms, ...moved);
    chain.rough!.forEach((volts, i) => expect(Math.abs(volts - exact[8 * i]!)).toBeLessThan(2e-5));
  });

  test('spread to the pixels they are close enough for polishing', () => {
    for (const [start, end] of [ends, [10.9, 9.6], [9.5, 10.8], [9.8, 9.7]] as const) {
      const { chain, scratch } = roughly(start, end);
      const exact = swept(knee, count, ohms, start, end);
      spreadRough(chain, scratch);
      expect(chain.rough).toBeNull();
      for (let k = chain.first; k <= chain.last; k++)
        expect(Math.abs(chain.volts![k]! - exact[k]!), `pixel ${k}`).toBeLessThan(2e-4);
      exact.forEach((volts, k) => {
        if (k > 0 && k < count && volts < 10 - 1e-3) expect(k >= chain.first && k <= chain.last).toBe(true);
      });
      scratch.tolerance = 0;
      scratch.work = 0;
      solveChain(chain, start, end, scratch, false);
      expect(scratch.work).toBeLessThanOrEqual(3 * count);
      exact.forEach((volts, k) => expect(Math.abs(chainVolts(chain, start, end, k) - volts)).toBeLessThan(1e-10));
    }
  });

  test('none for a short stretch, a regulated one, a falling one, or one whose pixels are known', () => {
    const isRough = (chain: Chain, start: number, end: number) => {
      const scratch = newChainScratch(chain.count);
      scratch.tolerance = roughVolts;
      return solveRough(chain, start, end, scratch);
    };
    expect(isRough(newChain(30, ohms, knee), 10.1, 10.1)).toBe(false);
    expect(isRough(newChain(33, ohms, knee), 9.9, 9.9)).toBe(true);
    expect(isRough(newChain(count, ohms, knee), 14, 14)).toBe(false);
    expect(isRough(newChain(count, ohms, compileLoadCurve(converter(0.5, 5), 1)), 10, 10)).toBe(false);
    const known = newChain(count, ohms, knee);
    fitInterval(known, ...ends, newChainScratch(count));
    expect(isRough(known, ...ends)).toBe(false);
    // So steep that nodes would stand closer than four pitches.
    expect(isRough(newChain(count, 0.1, knee), 9.9, 9.9)).toBe(false);
  });
});

/** A chain known at its nodes as well as the rule allows: each call is a step of Newton's method or more. */
function settledRoughly(curve: LoadCurve, count: number, ohms: number, start: number, end: number): Chain {
  const scratch = newChainScratch(count);
  scratch.tolerance = roughVolts;
  const chain = newChain(count, ohms, curve);
  for (let i = 0; i < 6; i++) expect(solveRough(chain, start, end, scratch)).toBe(true);
  return chain;
}

const knees = compileLoadCurve(
  {
    quiescentAmps: 0.001,
    quiescentVolts: 4,
    channels: [
      { kind: 'regulated', amps: 0.02, zeroVolts: 9, kneeVolts: 10 },
      { kind: 'regulated', amps: 0.03, zeroVolts: 9.4, kneeVolts: 10.6 },
    ],
  },
  1,
);

test.each([
  [33, 0.012],
  [24, 0.02],
  [45, 0.008],
  [96, 0.005],
])('%i pixels: the slopes are the differences of the flows at the nodes, to the last digits', (count, ohms) => {
  for (const curve of [knee, knees]) {
    for (const [start, end] of [
      [9.9, 9.7],
      [9.6, 10.3],
      [10.3, 9.5],
      [9.8, 9.8],
    ] as const) {
      const chain = settledRoughly(curve, count, ohms, start, end);
      expect(chain.rough![0]).toBe(start);
      expect(chain.rough!.at(-1)).toBe(end);
      const h = 1e-4;
      const difference = (dStart: number, dEnd: number) => {
        const up = settledRoughly(curve, count, ohms, start + dStart * h, end + dEnd * h);
        const down = settledRoughly(curve, count, ohms, start - dStart * h, end - dEnd * h);
        return [(up.startAmps - down.startAmps) / (2 * h), (up.endAmps - down.endAmps) / (2 * h)] as const;
      };
      const [byStart, onward] = difference(1, 0);
      const [back, byEnd] = difference(0, 1);
      // What is left of the curves' third derivatives: some 5 A / V^3 x h^2, against slopes of some siemens.
      const near = (own: number, other: number) => expect(Math.abs(own - other)).toBeLessThan(2e-6 * chain.startSlope);
      near(chain.startSlope, byStart);
      near(chain.endSlope, -byEnd);
      // The rule is not quite the same from either side, so that one slope stands for both.
      near(chain.crossSlope, onward);
      expect(Math.abs(chain.crossSlope + back)).toBeLessThan(2e-3 * chain.startSlope);
    }
  }
});

const spans: readonly (readonly [count: number, ohms: number])[] = [
  [33, 0.012],
  [45, 0.008],
  [96, 0.005],
];
const ends: readonly (readonly [start: number, end: number])[] = [
  [9.9, 9.7],
  [10.9, 9.6],
  [9.5, 10.8],
  [10.7, 10.62],
];

test('the nodes obey the rule, and the flows at the ends are those of a parabola through the first three', () => {
  for (const curve of [knee, knees]) {
    for (const [count, ohms] of spans) {
      for (const [start, end] of ends) {
        if (isRegulated(newChain(count, ohms, curve), start, end)) continue;
        const { rough, startAmps, endAmps } = settledRoughly(curve, count, ohms, start, end);
        const u = [...rough!];
        const n = u.length - 1;
        const h = count / n;
        const f = u.map((volts) => ohms * curveAmps(curve, volts));
        for (let i = 1; i < n; i++) {
          const bent = u[i - 1]! - 2 * u[i]! + u[i + 1]!;
          const around = f[i - 1]! - 2 * f[i]! + f[i + 1]!;
          expect(bent).toBeCloseTo(h * h * f[i]! + ((h * h - 1) / 12) * around, 9);
        }
        if (!Number.isInteger(h)) continue;
        const into = (volts: readonly number[], drawn: readonly number[]) => {
          const [f0, f1, f2] = drawn as unknown as readonly [number, number, number];
          const parabola = (x: number) => f0 + x * (f1 - f0) + ((x * (x - 1)) / 2) * (f2 - 2 * f1 + f0);
          let flow = (volts[0]! - volts[1]!) / h;
          for (let j = 1; j < h; j++) flow += (1 - j / h) * parabola(j / h);
          return flow / ohms;
        };
        expect(startAmps).toBeCloseTo(into(u, f), 10);
        expect(endAmps).toBeCloseTo(-into(u.toReversed(), f.toReversed()) - curveAmps(curve, end), 10);
      }
    }
  }
});

test('between two nodes pixels start on the cubic that bends at both as they draw; nowhere else', () => {
  let spread = 0;
  for (const curve of [knee, knees, compileLoadCurve(resistive(150), 1)]) {
    for (const [count, ohms] of spans) {
      for (const [start, end] of ends) {
        if (isRegulated(newChain(count, ohms, curve), start, end)) continue;
        const chain = settledRoughly(curve, count, ohms, start, end);
        const u = [...chain.rough!];
        const n = u.length - 1;
        const h = count / n;
        spreadRough(chain, newChainScratch(count));
        expect(chain.rough).toBeNull();
        const inner = [...u.keys()].filter((i) => i > 0 && i < n && u[i]! < curve.regulatedVolts);
        if (inner.length === 0) {
          expect(chain.first).toBeGreaterThan(chain.last);
          continue;
        }
        spread++;
        const [from, to] = [(inner[0]! - 1) * h, (inner.at(-1)! + 1) * h];
        const pixels = Array.from({ length: count - 1 }, (_, i) => i + 1).filter((k) => k >= from && k <= to);
        expect([chain.first, chain.last]).toEqual([pixels[0], pixels.at(-1)]);
        for (const k of pixels) {
          const i = Math.min(Math.floor(k / h), n - 1);
          const [a, b] = [i + 1 - k / h, k / h - i];
          const bent = (share: number, volts: number) => (share ** 3 - share) * ohms * curveAmps(curve, volts);
          const expected = a * u[i]! + b * u[i + 1]! + ((bent(a, u[i]!) + bent(b, u[i + 1]!)) * h * h) / 6;
          expect(chain.volts![k], `${count}, pixel ${k}`).toBeCloseTo(expected, 10);
        }
      }
    }
  }
  expect(spread).toBeGreaterThan(20);
});
