/** One stretch between two given voltages, against the plain tridiagonal equations solved pixel by pixel. */
import { describe, expect, test } from 'vitest';
import type { LoadModel } from '#server/electrics/circuit.ts';
import { chainVolts, solveChain } from '#server/electrics/solve/chain.ts';
import { newChainReport, reportChain } from '#server/electrics/solve/chain-report.ts';
import { newChain, newChainScratch } from '#server/electrics/solve/chain-state.ts';
import { compileLoadCurve, curveAmps, curveSlope, type LoadCurve } from '#server/electrics/solve/load-curve.ts';
import { kneeAmps, noLoad, resistive } from '../../support/circuits.ts';
import { seededRandom } from '../../support/random-circuit.ts';

/** u[1 .. N-1] by bisecting every pixel in turn (nonlinear Gauss-Seidel), from the straight line downwards. */
function relaxed(curve: LoadCurve, count: number, ohms: number, start: number, end: number): number[] {
  const u = Array.from({ length: count + 1 }, (_, k) => start + ((end - start) * k) / count);
  for (let sweep = 0; sweep < 20_000; sweep++) {
    let largest = 0;
    for (let k = 1; k < count; k++) {
      const middle = (u[k - 1]! + u[k + 1]!) / 2;
      let high = middle;
      let low = middle - ohms * 10;
      for (let i = 0; i < 60; i++) {
        const v = (low + high) / 2;
        if (v + (ohms * curveAmps(curve, v)) / 2 > middle) high = v;
        else low = v;
      }
      largest = Math.max(largest, Math.abs(u[k]! - low));
      u[k] = low;
    }
    if (largest < 1e-14) return u;
  }
  throw new Error('the reference did not settle');
}

const models: [string, LoadModel][] = [
  ['in regulation', kneeAmps(0.05, 2, 3)],
  ['at the knee', kneeAmps(0.05, 9.6, 10.4)],
  ['below the knee', kneeAmps(0.05, 11, 14)],
  ['resistive', resistive(150, 6)],
  ['nothing', noLoad],
];

describe.each(models)('%s', (_, model) => {
  const curve = compileLoadCurve(model, 1);

  test('pixels and end currents', () => {
    const random = seededRandom(7);
    for (const count of [1, 2, 3, 10, 25]) {
      const ohms = 0.02 + 0.1 * random();
      const [start, end] = [10 + random(), 10 + random()];
      const chain = newChain(count, ohms, curve);
      solveChain(chain, start, end, newChainScratch(count), false);
      const expected = relaxed(curve, count, ohms, start, end);
      for (let k = 0; k <= count; k++) expect(chainVolts(chain, start, end, k)).toBeCloseTo(expected[k]!, 9);
      expect(chain.startAmps).toBeCloseTo((expected[0]! - expected[1]!) / ohms, 7);
      const handedOn = (expected[count - 1]! - expected[count]!) / ohms - curveAmps(curve, end);
      expect(chain.endAmps).toBeCloseTo(handedOn, 7);

      const report = newChainReport();
      reportChain(report, chain, start, end, newChainScratch(count));
      const pixels = expected.slice(1);
      const amps = pixels.map((u) => curveAmps(curve, u));
      expect(report.leastVolts).toBeCloseTo(Math.min(...pixels), 9);
      expect(pixels[report.leastPixel - 1]).toBeCloseTo(Math.min(...pixels), 9);
      expect(report.amps).toBeCloseTo(
        amps.reduce((a, b) => a + b, 0),
        9,
      );
      expect(report.loadWatts).toBeCloseTo(
        pixels.reduce((sum, u, k) => sum + u * amps[k]!, 0),
        8,
      );
      expect(report.heatWatts).toBeCloseTo(
        pixels.reduce((sum, u, k) => sum + (expected[k]! - u) ** 2 / ohms, 0),
        8,
      );
      expect(report.worstExcess).toBeLessThan(1e-9);
    }
  });

  test('slopes are the differences of the end currents', () => {
    const random = seededRandom(8);
    const h = 1e-5;
    for (const count of [1, 2, 7, 60]) {
      const ohms = 0.02 + 0.05 * random();
      const [start, end] = [10.3 + random(), 10.3 + random()];
      const ends = (a: number, b: number) => {
        const chain = newChain(count, ohms, curve);
        solveChain(chain, a, b, newChainScratch(count), false);
        return chain;
      };
      const { startSlope, crossSlope, endSlope } = ends(start, end);
      const byStart = [ends(start + h, end), ends(start - h, end)] as const;
      const byEnd = [ends(start, end + h), ends(start, end - h)] as const;
      const difference = (pair: typeof byStart, of: 'startAmps' | 'endAmps') => (pair[0][of] - pair[1][of]) / (2 * h);
      const tolerance = 1e-4 / ohms / count;
      expect(Math.abs(startSlope - difference(byStart, 'startAmps'))).toBeLessThan(tolerance);
      expect(Math.abs(crossSlope + difference(byEnd, 'startAmps'))).toBeLessThan(tolerance);
      expect(Math.abs(crossSlope - difference(byStart, 'endAmps'))).toBeLessThan(tolerance);
      expect(Math.abs(endSlope + difference(byEnd, 'endAmps'))).toBeLessThan(tolerance);
      if (model === noLoad) expect(endSlope).toBeCloseTo(1 / (count * ohms), 12);
      expect(curveSlope(curve, end)).toBeLessThanOrEqual(endSlope);
    }
  });
});

test('a chain keeps its pixels as its ends move: the answer does not depend on the way there', () => {
  const random = seededRandom(9);
  const curve = compileLoadCurve(kneeAmps(0.05, 9, 10.5), 1);
  const scratch = newChainScratch(80);
  const walked = newChain(80, 0.02, curve);
  for (let step = 0; step < 200; step++) {
    const [start, end] = [8 + 4 * random(), 8 + 4 * random()];
    solveChain(walked, start, end, scratch, false);
    const fresh = newChain(80, 0.02, curve);
    solveChain(fresh, start, end, scratch, false);
    expect(walked.isSettled && fresh.isSettled).toBe(true);
    for (let k = 0; k <= 80; k += 5) {
      expect(chainVolts(walked, start, end, k)).toBeCloseTo(chainVolts(fresh, start, end, k), 10);
    }
  }
});
