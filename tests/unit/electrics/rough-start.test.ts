/** What a rough solution is worth: how true its currents, slopes and nodes are, what it costs, and what the pixels start from. */
import { describe, expect, test } from 'vitest';
import { isRegulated } from '#server/electrics/solve/chain-interval.ts';
import { roughVolts, solveRough, spreadRough } from '#server/electrics/solve/chain-rough.ts';
import { newChain, newChainScratch } from '#server/electrics/solve/chain-state.ts';
import { compileLoadCurve, curveAmps, type LoadCurve } from '#server/electrics/solve/load-curve.ts';
import { kneeAmps } from '../../support/circuits.ts';
import { swept } from '../../support/plain-sweep.ts';
import { seededRandom } from '../../support/random-circuit.ts';

/** Flows, A, and slopes, S, at the ends of a stretch by the plain sweep; slopes as differences. */
function exactEnds(curve: LoadCurve, count: number, ohms: number, start: number, end: number) {
  const flows = (a: number, b: number) => {
    const u = swept(curve, count, ohms, a, b);
    return { start: (u[0]! - u[1]!) / ohms, end: (u[count - 1]! - u[count]!) / ohms - curveAmps(curve, b) };
  };
  const h = 1e-4;
  const [startUp, startDown] = [flows(start + h, end), flows(start - h, end)];
  const [endUp, endDown] = [flows(start, end + h), flows(start, end - h)];
  return {
    ...flows(start, end),
    startSlope: (startUp.start - startDown.start) / (2 * h),
    crossSlope: (startUp.end - startDown.end) / (2 * h),
    endSlope: (endDown.end - endUp.end) / (2 * h),
  };
}

// One knee, and every pixel of the stretch below it: its draw is a straight line there, of which the rule is right to
// some millionths.
const curve = compileLoadCurve(kneeAmps(0.06, 9, 12), 1);

describe('with all pixels below the knee', () => {
  // Nodes 5 to 8 pitches apart, 8 to 22 of them: what a volt at one end does is a fortieth at the other at the least.
  const cases = Array.from({ length: 12 }, (_, i) => {
    const random = seededRandom(i + 1);
    const pitches = 5 + 3 * random();
    const count = Math.round((8 + 14 * random()) * pitches);
    const slope = 0.02;
    return [count, 0.03 / slope / pitches ** 2, 10.5 + random(), 10.5 + random()] as const;
  });

  test.each(cases)('%i pixels of %f ohm from %f V to %f V', (count, ohms, start, end) => {
    const scratch = newChainScratch(count);
    scratch.tolerance = roughVolts;
    const chain = newChain(count, ohms, curve);
    expect(solveRough(chain, start, end, scratch)).toBe(true);
    const u = swept(curve, count, ohms, start, end);
    const exact = exactEnds(curve, count, ohms, start, end);
    const largest = Math.max(Math.abs(exact.start), Math.abs(exact.end));
    expect(Math.abs(chain.startAmps - exact.start)).toBeLessThan(3e-4 * largest);
    expect(Math.abs(chain.endAmps - exact.end)).toBeLessThan(3e-4 * largest);
    expect(chain.startSlope / exact.startSlope).toBeCloseTo(1, 3);
    expect(chain.endSlope / exact.endSlope).toBeCloseTo(1, 3);
    expect(Math.abs(chain.crossSlope - exact.crossSlope)).toBeLessThan(5e-4 * exact.startSlope);
    // The nodes themselves, and what they cost: the draw is a straight line, so Newton's method needs two or three sweeps.
    const rough = chain.rough!;
    const n = rough.length - 1;
    expect(rough[0]).toBe(start);
    expect(rough[n]).toBe(end);
    expect(n).toBe(Math.ceil(count / Math.min(8, Math.sqrt(0.03 / (ohms * curve.steepest)))));
    for (let i = 1; i < n; i++) {
      const at = (i * count) / n;
      const below = Math.floor(at);
      const between = u[below]! + (at - below) * ((u[below + 1] ?? u[below]!) - u[below]!);
      expect(Math.abs(rough[i]! - between), `node ${i}`).toBeLessThan(1e-2);
    }
    expect(scratch.work % n).toBe(0);
    expect(scratch.work / n).toBeLessThanOrEqual(3);
    // When the ends move a little, the nodes move with them, and one sweep more is enough.
    const before = scratch.work;
    expect(solveRough(chain, start + 1e-4, end - 1e-4, scratch)).toBe(true);
    expect((scratch.work - before) / n).toBe(1);
  });
});

test('pixels start where the nodes say, to some tenths of a millivolt, and all that may be below the knee are among them', () => {
  const random = seededRandom(5);
  let tried = 0;
  for (let round = 0; round < 60; round++) {
    const count = Math.round(60 * 10 ** random());
    const knee = compileLoadCurve(kneeAmps(0.03, 9, 10.5 + 0.5 * random()), 1);
    const ohms = ((1 + 3 * random()) * 8) / (count * count * knee.fullAmps);
    const [start, end] = [10.3 + 1.5 * random(), 10.3 + 1.5 * random()];
    const scratch = newChainScratch(count);
    scratch.tolerance = roughVolts;
    const chain = newChain(count, ohms, knee);
    if (isRegulated(chain, start, end) || !solveRough(chain, start, end, scratch)) continue;
    const n = chain.rough!.length - 1;
    const below = chain.rough!.subarray(1, n).some((volts) => volts < knee.regulatedVolts);
    spreadRough(chain, scratch);
    expect(chain.rough).toBeNull();
    expect(chain.first <= chain.last).toBe(below);
    if (!below) continue;
    tried++;
    const u = swept(knee, count, ohms, start, end);
    const h = count / n;
    expect(chain.first).toBeGreaterThanOrEqual(1);
    expect(chain.last).toBeLessThan(count);
    for (let k = 1; k < count; k++) {
      const isIn = k >= chain.first && k <= chain.last;
      // Between two nodes above the knee the curve may dip by what it sags in one piece.
      const dip = (ohms * knee.fullAmps * h * h) / 8 + 2e-3;
      if (!isIn) expect(u[k]!, `round ${round}, pixel ${k}`).toBeGreaterThan(knee.regulatedVolts - dip);
      else expect(Math.abs(chain.volts![k]! - u[k]!), `round ${round}, pixel ${k} of ${count}`).toBeLessThan(3e-3);
    }
  }
  expect(tried).toBeGreaterThan(20);
});
