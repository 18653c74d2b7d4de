/** One step of either way to settle pixels is Newton's, and the slopes at the ends are those before it: by plain elimination. */
import { describe, expect, test } from 'vitest';
import { chainVolts } from '#server/electrics/solve/chain.ts';
import { polishPixels } from '#server/electrics/solve/chain-polish.ts';
import { settlePixels } from '#server/electrics/solve/chain-settle.ts';
import { type Chain, type ChainScratch, newChain, newChainScratch } from '#server/electrics/solve/chain-state.ts';
import { compileLoadCurve, curveAmps, curveSlope, type LoadCurve } from '#server/electrics/solve/load-curve.ts';
import { kneeAmps, resistive } from '../../support/circuits.ts';
import { swept } from '../../support/plain-sweep.ts';
import { seededRandom } from '../../support/random-circuit.ts';

/** Solves for pixels 1 .. N - 1 with the slopes at `u`, from what stands on the right, by elimination from the start. */
function plainStep(curve: LoadCurve, ohms: number, u: readonly number[], right: readonly number[]): number[] {
  const count = u.length - 1;
  const pivot = [1];
  const carried = [0];
  for (let k = 1; k < count; k++) {
    const share = k > 1 ? 1 / pivot[k - 1]! : 0;
    pivot[k] = 2 + ohms * curveSlope(curve, u[k]!) - share;
    carried[k] = right[k]! + share * carried[k - 1]!;
  }
  const step = new Array<number>(count + 1).fill(0);
  for (let k = count - 1; k > 0; k--) step[k] = (carried[k]! + step[k + 1]!) / pivot[k]!;
  return step;
}

const knee = compileLoadCurve(kneeAmps(0.05, 9, 10), 1);
const curves: [string, LoadCurve][] = [
  ['a knee', knee],
  ['a straight line', compileLoadCurve(resistive(200), 1)],
  [
    'two knees',
    compileLoadCurve(
      {
        quiescentAmps: 0.01,
        quiescentVolts: 4,
        channels: [
          { kind: 'regulated', amps: 0.02, zeroVolts: 9, kneeVolts: 10 },
          { kind: 'regulated', amps: 0.03, zeroVolts: 9.4, kneeVolts: 10.4 },
        ],
      },
      1,
    ),
  ],
];
const ways: [string, (chain: Chain, start: number, end: number, scratch: ChainScratch) => void][] = [
  ['polishing', (chain, start, end, scratch) => expect(polishPixels(chain, start, end, scratch)).toBe(true)],
  ['settling', (chain, start, end, scratch) => settlePixels(chain, start, end, scratch, false)],
];

describe.each(curves)('%s', (_, curve) => {
  test.each(ways)('%s', (_, settle) => {
    const random = seededRandom(91);
    let steps = 0;
    for (let round = 0; round < 60; round++) {
      const count = 8 + Math.floor(40 * random());
      const ohms = (0.5 + 3 * random()) * (8 / (count * count * 0.05));
      const [start, end] = [9.6 + 1.2 * random(), 9.6 + 1.2 * random()];
      const exact = swept(curve, count, ohms, start, end);
      // The pixels below the knee, and one more on either side.
      const below = [...exact.keys()].filter((k) => k > 0 && k < count && exact[k]! < curve.regulatedVolts - 1e-3);
      const first = Math.max(1, (below[0] ?? count) - 1);
      const last = Math.min(count - 1, (below.at(-1) ?? 0) + 1);
      if (last - first < 4) continue;
      const volts = exact.map((v, k) => v + (k >= first && k <= last ? 2e-4 * (random() - 0.5) : 0));
      const chain = { ...newChain(count, ohms, curve), first, last, volts };
      // Those beside them lie on the quadratic.
      const u = Array.from({ length: count + 1 }, (_, k) => chainVolts(chain, start, end, k));
      const right = u.map((v, k) => {
        return k > 0 && k < count ? u[k - 1]! - 2 * v + u[k + 1]! - ohms * curveAmps(curve, v) : 0;
      });
      const step = plainStep(curve, ohms, u, right);
      const byStart = plainStep(curve, ohms, u, [0, 1, ...new Array<number>(count - 1).fill(0)]);
      const byEnd = plainStep(curve, ohms, u, [...new Array<number>(count - 1).fill(0), 1, 0]);
      const largest = Math.max(...step.map(Math.abs));

      const scratch = newChainScratch(count);
      // So that one step is enough.
      scratch.tolerance = 1;
      settle(chain, start, end, scratch);
      if (chain.first !== first || chain.last !== last) continue;
      steps++;
      expect(scratch.work).toBe(last - first + 1);
      for (let k = first; k <= last; k++)
        expect(Math.abs(chain.volts[k]! - u[k]! - step[k]!), `round ${round}, pixel ${k}`).toBeLessThan(
          1e-7 * largest + 1e-13,
        );
      const near = (own: number, expected: number, size: number) =>
        expect(Math.abs(own - expected)).toBeLessThan(1e-9 * size);
      const slope = 1 / ohms;
      near(chain.startSlope, (1 - byStart[1]!) / ohms, slope);
      near(chain.crossSlope, byEnd[1]! / ohms, slope);
      near(chain.endSlope, (1 - byEnd[count - 1]!) / ohms + curveSlope(curve, end), slope);
      const voltsAt = (k: number) => chainVolts(chain, start, end, k);
      near(chain.startAmps, (start - voltsAt(1)) / ohms, 1);
      near(chain.endAmps, (voltsAt(count - 1) - end) / ohms - curveAmps(curve, end), 1);
    }
    expect(steps).toBeGreaterThan(25);
  });
});
