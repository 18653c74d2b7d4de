/**
 * The single steps by which a stretch is solved: which pixels are looked at, where they start, that each step of Newton's
 * method is the right one (then what is left falls as its square, and straight lines need one step), and what it costs.
 */
import { describe, expect, test } from 'vitest';
import { chainVolts } from '#server/electrics/solve/chain.ts';
import { dropRegulated, fitInterval, isRegulated, startingVolts } from '#server/electrics/solve/chain-interval.ts';
import { polishPixels } from '#server/electrics/solve/chain-polish.ts';
import { settlePixels } from '#server/electrics/solve/chain-settle.ts';
import { type Chain, newChain, newChainScratch, sag } from '#server/electrics/solve/chain-state.ts';
import { compileLoadCurve, curveAmps, type LoadCurve } from '#server/electrics/solve/load-curve.ts';
import { converter, kneeAmps, resistive } from '../../support/circuits.ts';
import { swept } from '../../support/plain-sweep.ts';
import { seededRandom } from '../../support/random-circuit.ts';

const knee = compileLoadCurve(kneeAmps(0.05, 9, 10), 1);
const line = compileLoadCurve(resistive(200), 1);

/** All pixels of a chain, `off` volts from where they belong. */
function displaced(curve: LoadCurve, count: number, ohms: number, ends: readonly [number, number], off: number) {
  const exact = swept(curve, count, ohms, ...ends);
  const scratch = newChainScratch(count);
  const chain = newChain(count, ohms, curve);
  fitInterval(chain, ...ends, scratch);
  for (let k = chain.first; k <= chain.last; k++) {
    chain.volts![k] = exact[k]! + off * Math.sin((Math.PI * k) / count) * Math.cos(k);
  }
  return { exact, scratch, chain };
}

function worst(chain: Chain, [start, end]: readonly [number, number], exact: Float64Array): number {
  return Math.max(...exact.map((volts, k) => Math.abs(chainVolts(chain, start, end, k) - volts)));
}

/** Slopes of the end currents as the plain sweep's differences, S. */
function slopes(curve: LoadCurve, count: number, ohms: number, [start, end]: readonly [number, number]) {
  const h = 1e-5;
  const into = (a: number, b: number) => {
    const u = swept(curve, count, ohms, a, b);
    return [(u[0]! - u[1]!) / ohms, (u[count - 1]! - u[count]!) / ohms - curveAmps(curve, b)] as const;
  };
  const [up, down] = [into(start + h, end), into(start - h, end)];
  const [endUp, endDown] = [into(start, end + h), into(start, end - h)];
  return {
    startSlope: (up[0] - down[0]) / (2 * h),
    crossSlope: (up[1] - down[1]) / (2 * h),
    endSlope: (endDown[1] - endUp[1]) / (2 * h),
  };
}

function expectEnds(chain: Chain, ends: readonly [number, number], exact: Float64Array): void {
  const { count, ohms, curve } = chain;
  expect(Math.abs(chain.startAmps - (exact[0]! - exact[1]!) / ohms)).toBeLessThan(1e-7);
  const handedOn = (exact[count - 1]! - exact[count]!) / ohms - curveAmps(curve, ends[1]);
  expect(Math.abs(chain.endAmps - handedOn)).toBeLessThan(1e-7);
  const expected = slopes(curve, count, ohms, ends);
  for (const key of ['startSlope', 'crossSlope', 'endSlope'] as const)
    expect(Math.abs(chain[key] - expected[key]), key).toBeLessThan(1e-4 / ohms / count);
}

/** Stretches whose pixels are below the knee at the start, in the middle, at the end, or everywhere. */
const places: [string, readonly [number, number]][] = [
  ['everywhere', [9.6, 9.7]],
  ['at the start', [9.5, 11.5]],
  ['in the middle', [10.4, 10.5]],
  ['at the end', [11.4, 9.6]],
];

describe.each(places)('pixels below the knee %s', (_, ends) => {
  const [count, ohms] = [40, 0.06];

  test('polishing: each step squares what is left', () => {
    const { exact, scratch, chain } = displaced(knee, count, ohms, ends, 2e-3);
    const pixels = chain.last - chain.first + 1;
    expect(polishPixels(chain, ...ends, scratch)).toBe(true);
    expect(chain.isSettled).toBe(true);
    expect(worst(chain, ends, exact)).toBeLessThan(1e-10);
    // 2 mV, some microvolts, some picovolts: no more than three steps, and one for each time that the pixels grow more.
    expect(scratch.work).toBeLessThanOrEqual(4 * (pixels + 4));
    expectEnds(chain, ends, exact);
  });

  test('polishing what is already settled takes one step', () => {
    const { exact, scratch, chain } = displaced(knee, count, ohms, ends, 0);
    expect(polishPixels(chain, ...ends, scratch)).toBe(true);
    expect(scratch.work).toBeLessThanOrEqual(chain.last - chain.first + 1);
    expect(worst(chain, ends, exact)).toBeLessThan(1e-10);
    expectEnds(chain, ends, exact);
  });

  test('what is far off is handed back as it was', () => {
    const { scratch, chain } = displaced(knee, count, ohms, ends, 0.3);
    const before = chain.volts!.slice();
    expect(polishPixels(chain, ...ends, scratch)).toBe(false);
    before.forEach((volts, k) => expect(Math.abs(chain.volts![k]! - volts)).toBeLessThan(1e-9));
  });

  test('settling from where pixels start', () => {
    const exact = swept(knee, count, ohms, ...ends);
    const scratch = newChainScratch(count);
    const chain = newChain(count, ohms, knee);
    fitInterval(chain, ...ends, scratch);
    settlePixels(chain, ...ends, scratch, false);
    expect(chain.isSettled).toBe(true);
    expect(worst(chain, ends, exact)).toBeLessThan(1e-10);
    expect(scratch.work).toBeLessThanOrEqual(9 * count);
    expectEnds(chain, ends, exact);
  });

  test('settling stops early where that is allowed, and says so', () => {
    const scratch = newChainScratch(count);
    scratch.tolerance = 0.5;
    const chain = newChain(count, ohms, knee);
    fitInterval(chain, ...ends, scratch);
    settlePixels(chain, ...ends, scratch, false);
    expect(chain.isSettled).toBe(false);
    expect(scratch.work).toBeLessThanOrEqual(3 * count);
  });
});

test.each([
  ['the first', 1],
  ['the last', -1],
])('a step that is large only at %s pixels is not the last one, and nothing beside the pixels changes', (_, side) => {
  // So much resistance that what happens at one end is not felt at the other.
  const [count, ohms] = [24, 40];
  const both: (readonly [number, number])[] = [
    [9.7, 9.6],
    [2, 2],
  ];
  for (const ends of both) {
    for (const model of [compileLoadCurve(resistive(20, 2), 1), compileLoadCurve(kneeAmps(0.5, 0, 12), 1)]) {
      const exact = swept(model, count, ohms, ...ends);
      const scratch = newChainScratch(count);
      const volts = Float64Array.from(exact);
      const chain = { ...newChain(count, ohms, model), first: 1, last: count - 1, volts };
      volts[0] = volts[count] = 77;
      volts[side > 0 ? 1 : count - 1]! += 3;
      settlePixels(chain, ...ends, scratch, false);
      expect(chain.isSettled).toBe(true);
      expect(worst(chain, ends, exact)).toBeLessThan(1e-9);
      expect([volts[0], volts[count]]).toEqual([77, 77]);
    }
  }
});

test('pixels that follow their volts in a straight line need one step', () => {
  for (const count of [5, 6, 30, 31]) {
    const ends = [11, 10] as const;
    const { exact, scratch, chain } = displaced(line, count, 0.02, ends, 5e-3);
    expect(polishPixels(chain, ...ends, scratch)).toBe(true);
    expect(worst(chain, ends, exact)).toBeLessThan(1e-12);
    expect(scratch.work).toBe(count - 1);
    expectEnds(chain, ends, exact);

    const far = displaced(line, count, 0.02, ends, 2);
    settlePixels(far.chain, ...ends, far.scratch, false);
    expect(worst(far.chain, ends, exact)).toBeLessThan(1e-11);
    expect(far.scratch.work).toBeLessThanOrEqual(2 * (count - 1));
    expectEnds(far.chain, ends, exact);
  }
});

test('too few pixels, or falling loads, are not for polishing', () => {
  const few = displaced(line, 4, 0.02, [11, 10], 0);
  expect(polishPixels(few.chain, 11, 10, few.scratch)).toBe(false);
  const falling = compileLoadCurve(converter(1, 5), 1);
  const other = displaced(falling, 20, 0.01, [11, 10.9], 0);
  expect(polishPixels(other.chain, 11, 10.9, other.scratch)).toBe(false);
  settlePixels(other.chain, 11, 10.9, other.scratch, false);
  expect(worst(other.chain, [11, 10.9], other.exact)).toBeLessThan(1e-9);
  expectEnds(other.chain, [11, 10.9], other.exact);
});

test('a solution that has visited too many pixels is given up', () => {
  const { scratch, chain } = displaced(knee, 40, 0.06, [9.6, 9.7], 1);
  scratch.mostWork = 39;
  settlePixels(chain, 9.6, 9.7, scratch, false);
  expect(scratch.work).toBeGreaterThan(39);
  expect(scratch.work).toBeLessThanOrEqual(78);
  expect(chain.isSettled).toBe(false);
});

describe('which pixels may be below the knee', () => {
  test('all that are when each draws its full current, and at most one more on either side', () => {
    const random = seededRandom(31);
    for (let round = 0; round < 400; round++) {
      const count = 2 + Math.floor(60 * random());
      const ohms = (0.2 + 4 * random()) / (count * count * 0.05);
      const [start, end] = [9.7 + random(), 9.7 + random()];
      const bend = ohms * knee.fullAmps;
      const isBelow = Array.from({ length: count - 1 }, (_, i) => sag(start, end, count, i + 1, bend) < 10);
      const [first, last] = [isBelow.indexOf(true) + 1, isBelow.lastIndexOf(true) + 1];
      const chain = newChain(count, ohms, knee);
      fitInterval(chain, start, end, newChainScratch(count));
      if (first > 0) {
        expect(chain.first, `round ${round}`).toBeGreaterThanOrEqual(Math.max(1, first - 1));
        expect(chain.first, `round ${round}`).toBeLessThanOrEqual(first);
        expect(chain.last, `round ${round}`).toBeLessThanOrEqual(Math.min(count - 1, last + 1));
        expect(chain.last, `round ${round}`).toBeGreaterThanOrEqual(last);
        expect(isRegulated(chain, start, end)).toBe(false);
      } else {
        expect(chain.last - chain.first).toBeLessThanOrEqual(1);
      }
    }
  });

  test('none where nothing is drawn, all where no current is ever constant, and none of a single pixel', () => {
    const dark = compileLoadCurve(kneeAmps(0.05, 9, 10), 0);
    const fitted = (curve: LoadCurve, count: number) => {
      const chain = newChain(count, 0.05, curve);
      return { grew: fitInterval(chain, 5, 6, newChainScratch(count)), chain };
    };
    expect(fitted(dark, 20)).toMatchObject({ grew: false, chain: { first: 1, last: 0 } });
    expect(isRegulated(newChain(20, 0.05, dark), 5, 6)).toBe(true);
    expect(fitted(line, 20)).toMatchObject({ grew: true, chain: { first: 1, last: 19 } });
    expect(isRegulated(newChain(20, 0.05, line), 5, 6)).toBe(false);
    expect(fitted(knee, 1)).toMatchObject({ grew: false, chain: { first: 1, last: 0 } });
    expect(isRegulated(newChain(1, 0.05, knee), 5, 6)).toBe(true);
    expect(isRegulated(newChain(20, 1e-6, knee), 11, 11)).toBe(true);
    // An end right at the knee from which the volts only rise.
    expect(isRegulated(newChain(20, 1e-6, knee), 10, 11)).toBe(true);
    expect(isRegulated(newChain(20, 1e-6, knee), 11, 10)).toBe(true);
    expect(isRegulated(newChain(20, 1e-6, knee), 11, 9.999)).toBe(false);
  });

  test('outer pixels that have risen above it are left out, and only those', () => {
    const chain = newChain(10, 0.05, knee);
    Object.assign(chain, { first: 2, last: 8, volts: Float64Array.of(0, 0, 10.1, 10, 9.9, 10.5, 9.8, 10.2, 10.3, 0) });
    dropRegulated(chain);
    expect([chain.first, chain.last]).toEqual([4, 6]);
    chain.volts!.fill(11);
    dropRegulated(chain);
    expect(chain.first).toBeGreaterThan(chain.last);
  });

  test('what is known grows only where it must, and what comes in starts between the quadratic and the line', () => {
    const [count, ohms] = [60, 0.01];
    const { chain, scratch } = displaced(knee, count, ohms, [10.1, 10.1], 0);
    const [first, last] = [chain.first, chain.last];
    const known = chain.volts!.slice();
    expect(fitInterval(chain, 10.1, 10.1, scratch)).toBe(false);
    expect([chain.first, chain.last]).toEqual([first, last]);
    expect(fitInterval(chain, 9.98, 9.98, scratch)).toBe(true);
    expect(chain.first).toBeLessThan(first);
    expect(chain.last).toBeGreaterThan(last);
    for (let k = first; k <= last; k++) expect(chain.volts![k]).toBe(known[k]);
    for (let k = chain.first; k < first; k++) {
      expect(chain.volts![k]).toBe(startingVolts(chain, 9.98, known[first]!, first, k));
      expect(chain.volts![count - k]).toBeCloseTo(chain.volts![k]!, 9);
    }
  });
});

describe('where pixels start', () => {
  test('in the middle of the knees, but between the quadratic and the straight line', () => {
    const random = seededRandom(32);
    for (let round = 0; round < 300; round++) {
      const m = 2 + Math.floor(40 * random());
      const k = 1 + Math.floor((m - 1) * random());
      const [left, right] = [8 + 4 * random(), 8 + 4 * random()];
      const ohms = (8 * random()) / (m * m * 0.05);
      const chain = newChain(m, ohms, knee);
      const straight = left + ((right - left) * k) / m;
      const lowest = sag(left, right, m, k, ohms * knee.fullAmps);
      const middle = [straight, lowest, 9.5].sort((a, b) => a - b)[1]!;
      expect(startingVolts(chain, left, right, m, k)).toBeCloseTo(middle, 12);
    }
  });

  test('of a span so long that it must be dark: at nothing', () => {
    const chain = newChain(1000, 0.05, knee);
    // 0.05 ohm x 0.05 A x 1000^2 / 8 = 312 V would drop.
    expect(startingVolts(chain, 12, 11, 1000, 500)).toBe(0);
    // Where the drop of full current comes to twice the volts, and not before: r I m^2 / 8 = 24 V, r = 24 x 8 / (I m^2).
    for (const [share, volts] of [
      [0.999, 9.5],
      [1.001, 0],
    ] as const) {
      const close = newChain(40, (share * 24 * 8) / (0.05 * 40 * 40), knee);
      expect(startingVolts(close, 12, 12, 40, 20)).toBe(volts);
      const lamps = newChain(40, (share * 24 * 8) / ((9 / 200) * 40 * 40), compileLoadCurve(resistive(200, 3), 1));
      expect(startingVolts(lamps, 12, 12, 40, 20)).toBe(share < 1 ? 12 : 3);
    }
    const resistors = newChain(1000, 0.05, compileLoadCurve(resistive(200, 3), 1));
    expect(startingVolts(resistors, 12, 11, 1000, 500)).toBe(3);
    const short = newChain(20, 0.05, compileLoadCurve(resistive(200, 3), 1));
    expect(startingVolts(short, 12, 11, 20, 5)).toBeCloseTo(11.75, 12);
  });
});
