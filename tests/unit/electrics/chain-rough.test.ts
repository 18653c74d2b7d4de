/** Long stretches, solved roughly first and then in full, against a plain Newton sweep over every pixel. */
import { describe, expect, test } from 'vitest';
import type { LoadChannel, LoadModel } from '#server/electrics/circuit.ts';
import { chainVolts, solveChain } from '#server/electrics/solve/chain.ts';
import { newChainReport, reportChain } from '#server/electrics/solve/chain-report.ts';
import { roughVolts } from '#server/electrics/solve/chain-rough.ts';
import { type Chain, newChain, newChainScratch } from '#server/electrics/solve/chain-state.ts';
import { compileLoadCurve, curveAmps, type LoadCurve } from '#server/electrics/solve/load-curve.ts';
import { kneeAmps } from '../../support/circuits.ts';
import { swept } from '../../support/plain-sweep.ts';
import { seededRandom } from '../../support/random-circuit.ts';

interface Stretch {
  readonly count: number;
  readonly ohms: number;
  readonly curve: LoadCurve;
  readonly start: number;
  readonly end: number;
}

/** A stretch of 40 to 5,000 pixels with one to three knees, fed so that some of its pixels lie below them. */
function randomStretch(random: () => number): Stretch {
  const count = Math.floor(40 * 125 ** random());
  const channels: LoadChannel[] = Array.from({ length: 1 + Math.floor(3 * random()) }, () => {
    const kneeVolts = 9 + 2 * random();
    return { kind: 'regulated', amps: 0.005 + 0.02 * random(), kneeVolts, zeroVolts: kneeVolts - 0.1 - random() };
  });
  const model: LoadModel = { quiescentAmps: 0.001, quiescentVolts: 4, channels };
  const curve = compileLoadCurve(model, 0.2 + random());
  // So much resistance that all pixels in regulation would lose up to four volts.
  const ohms = ((0.5 + 3.5 * random()) * 8) / (count * count * curve.fullAmps);
  return { count, ohms, curve, start: 10 + 2 * random(), end: 10 + 2 * random() };
}

/** The chain as a network leaves it: roughly known while the ends come closer, then in full. */
function approached({ count, ohms, curve, start, end }: Stretch): { chain: Chain; wasRough: boolean } {
  const scratch = newChainScratch(count);
  const chain = newChain(count, ohms, curve);
  let wasRough = false;
  for (const away of [0.3, 0.02, 0.001]) {
    scratch.tolerance = Math.max(roughVolts, away / 50);
    solveChain(chain, start + away, end - away, scratch, false);
    wasRough ||= chain.rough !== null;
  }
  scratch.tolerance = 0;
  solveChain(chain, start, end, scratch, false);
  return { chain, wasRough };
}

test('random stretches of 40 to 5,000 pixels, every pixel as in the plain sweep but for rounding', () => {
  const random = seededRandom(21);
  let rough = 0;
  for (let round = 0; round < 150; round++) {
    const stretch = randomStretch(random);
    const { count, ohms, curve, start, end } = stretch;
    const { chain, wasRough } = approached(stretch);
    if (wasRough) rough++;
    expect(chain.isSettled, `round ${round}`).toBe(true);
    const expected = swept(curve, count, ohms, start, end);
    let worst = 0;
    for (let k = 0; k <= count; k++) {
      worst = Math.max(worst, Math.abs(chainVolts(chain, start, end, k) - expected[k]!));
    }
    // Rounding of the volts is carried on by up to count^2 / 8 pixels on a stretch that hardly draws.
    expect(worst / start, `round ${round}, ${count} pixels`).toBeLessThan(Math.max(1e-12, 1e-17 * count * count));
    const amps = (expected[0]! - expected[1]!) / ohms;
    const report = newChainReport();
    reportChain(report, chain, start, end, newChainScratch(count));
    expect(Math.abs(chain.startAmps - amps), `round ${round}`).toBeLessThan(1e-9 * report.amps + 1e-13 / ohms);
    expect(report.worstExcess, `round ${round}`).toBeLessThan(1e-9 * report.amps + 1e-13 / ohms);
  }
  expect(rough).toBeGreaterThan(75);
});

describe('while the ends move', () => {
  const curve = compileLoadCurve(kneeAmps(0.06, 10.1, 11), 1);
  const [count, ohms] = [100, 0.0042];
  const roughly = (start: number, end: number) => {
    const scratch = newChainScratch(count);
    scratch.tolerance = roughVolts;
    const chain = newChain(count, ohms, curve);
    solveChain(chain, start, end, scratch, false);
    return chain;
  };

  test('rough currents are those of the plain sweep to a thousandth', () => {
    for (const [start, end] of [
      [11.1, 11.05],
      [10.6, 11.2],
      [10.5, 10.4],
    ] as const) {
      const chain = roughly(start, end);
      expect(chain.rough).not.toBeNull();
      expect(chain.isSettled).toBe(false);
      const u = swept(curve, count, ohms, start, end);
      expect(chain.startAmps / ((u[0]! - u[1]!) / ohms)).toBeCloseTo(1, 3);
      const handedOn = (u[count - 1]! - u[count]!) / ohms - curveAmps(curve, end);
      expect(chain.endAmps / handedOn).toBeCloseTo(1, 3);
    }
  });

  test('rough slopes are the differences of the plain sweep', () => {
    const [start, end] = [10.9, 10.7];
    const chain = roughly(start, end);
    const h = 1e-4;
    const startAmps = (a: number, b: number) => {
      const u = swept(curve, count, ohms, a, b);
      return (u[0]! - u[1]!) / ohms;
    };
    const endAmps = (b: number) => {
      const u = swept(curve, count, ohms, start, b);
      return (u[count - 1]! - u[count]!) / ohms - curveAmps(curve, b);
    };
    const byStart = (startAmps(start + h, end) - startAmps(start - h, end)) / (2 * h);
    const byEnd = (startAmps(start, end + h) - startAmps(start, end - h)) / (2 * h);
    expect(chain.startSlope / byStart).toBeCloseTo(1, 2);
    expect(chain.crossSlope / -byEnd).toBeCloseTo(1, 2);
    expect(chain.endSlope / ((endAmps(end - h) - endAmps(end + h)) / (2 * h))).toBeCloseTo(1, 2);
  });

  test('the surest way takes none of the quicker ones, and ends at the same pixels', () => {
    const [start, end] = [10.9, 10.7];
    const scratch = newChainScratch(count);
    Object.assign(scratch, { isPlain: true, tolerance: roughVolts });
    const chain = newChain(count, ohms, curve);
    solveChain(chain, start, end, scratch, false);
    expect(chain.rough).toBeNull();
    scratch.tolerance = 0;
    solveChain(chain, start, end, scratch, false);
    const expected = swept(curve, count, ohms, start, end);
    for (let k = 0; k <= count; k++) expect(chainVolts(chain, start, end, k)).toBeCloseTo(expected[k]!, 10);
  });

  test('a stretch whose pixels rise above the knee is a plain resistor again', () => {
    const scratch = newChainScratch(count);
    scratch.tolerance = roughVolts;
    const chain = newChain(count, ohms, curve);
    solveChain(chain, 10.6, 10.6, scratch, false);
    expect(chain.rough).not.toBeNull();
    solveChain(chain, 12, 12, scratch, false);
    expect(chain.rough).toBeNull();
    // 99 pixels of 60 mA, half from either end.
    expect(chain.startAmps).toBeCloseTo((99 * 0.06) / 2, 12);
  });
});
