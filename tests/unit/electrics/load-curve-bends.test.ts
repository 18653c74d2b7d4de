/** What a load curve says of itself beside its currents: how steep, how bent, where constant, where to start from. */
import { describe, expect, test } from 'vitest';
import type { LoadChannel, LoadModel } from '#server/electrics/circuit.ts';
import { bendFrom, compileLoadCurve, curveAmps, curveSlope } from '#server/electrics/solve/load-curve.ts';
import { converter, kneeAmps, noLoad, resistive } from '../../support/circuits.ts';
import { definedAmps } from '../../support/kirchhoff.ts';
import { seededRandom } from '../../support/random-circuit.ts';

const model = (quiescentAmps: number, quiescentVolts: number, ...channels: LoadChannel[]): LoadModel => ({
  quiescentAmps,
  quiescentVolts,
  channels,
});
const knee = (amps: number, zeroVolts: number, kneeVolts: number): LoadChannel => ({
  kind: 'regulated',
  amps,
  zeroVolts,
  kneeVolts,
});

/** Smooth loads: knees and idle currents. */
function randomKnees(random: () => number): LoadModel {
  const channels = Array.from({ length: 1 + Math.floor(3 * random()) }, () => {
    const zero = 1 + 9 * random();
    return knee(0.01 + random(), zero, zero + 0.2 + random());
  });
  return model(random() < 0.5 ? 0 : 0.01 * random(), 0.5 + random(), ...channels);
}

test('currents and slopes by the definition', () => {
  const random = seededRandom(41);
  for (let round = 0; round < 60; round++) {
    const lockout = 2 + 5 * random();
    const falling: LoadChannel = { kind: 'converter', watts: random(), lockoutVolts: lockout };
    const rising: LoadChannel = { kind: 'resistive', ohms: 5 + 100 * random(), forwardVolts: 6 * random() };
    const base = randomKnees(random);
    const each = { ...base, channels: [...base.channels, rising, ...(round % 2 === 0 ? [falling] : [])] };
    const scale = 0.1 + random();
    const curve = compileLoadCurve(each, scale);
    expect(curve.isMonotone).toBe(round % 2 === 1);
    for (let i = 0; i < 40; i++) {
      const u = 12 * random();
      expect(Math.abs(curveAmps(curve, u) - definedAmps(each, scale, u))).toBeLessThan(1e-12);
      const h = 1e-6;
      if ([...curve.from].some((volts) => Math.abs(volts - u) < 2 * h)) continue;
      const difference = (definedAmps(each, scale, u + h) - definedAmps(each, scale, u - h)) / (2 * h);
      expect(Math.abs(curveSlope(curve, u) - difference)).toBeLessThan(1e-6 * Math.max(1, Math.abs(difference)));
    }
  }
});

test('the steepest slope is the largest of all slopes, and is reached', () => {
  const random = seededRandom(42);
  for (let round = 0; round < 60; round++) {
    const each = randomKnees(random);
    const scale = 0.1 + random();
    const curve = compileLoadCurve(each, scale);
    let largest = 0;
    for (let u = 0; u < 12; u += 0.004) largest = Math.max(largest, curveSlope(curve, u));
    expect(curve.steepest).toBeGreaterThanOrEqual(largest * (1 - 1e-12));
    expect(curve.steepest).toBeLessThanOrEqual(largest * (1 + 1e-2));
  }
  // A single knee is steepest in its middle: 6 t (1 - t) / width = 1.5 / width.
  expect(compileLoadCurve(kneeAmps(0.06, 9, 9.5), 1).steepest).toBeCloseTo((1.5 * 0.06) / 0.5, 12);
  expect(compileLoadCurve(resistive(50, 3), 1).steepest).toBeCloseTo(1 / 50, 12);
  expect(compileLoadCurve(noLoad, 1).steepest).toBe(0);
});

test('the largest bend from some volts on', () => {
  const random = seededRandom(43);
  for (let round = 0; round < 25; round++) {
    const channels = Array.from({ length: 1 + Math.floor(3 * random()) }, () => {
      const zero = 1 + 9 * random();
      return knee(0.01 + random(), zero, zero + 0.2 + random());
    });
    const each = model(0, 1, ...channels);
    const curve = compileLoadCurve(each, 1);
    // A knee's second derivative falls in a straight line from 6 I / width^2 to its opposite.
    const second = (u: number) => {
      const parts = channels.map((channel) => {
        if (channel.kind !== 'regulated') return 0;
        const width = channel.kneeVolts - channel.zeroVolts;
        const t = (u - channel.zeroVolts) / width;
        return t < 0 || t > 1 ? 0 : (channel.amps * (6 - 12 * t)) / width ** 2;
      });
      return Math.abs(parts.reduce((sum, part) => sum + part, 0));
    };
    let least = 0;
    let isBelow = false;
    for (let u = 12; u > 0; u -= 0.01) {
      least = Math.max(least, second(u));
      isBelow ||= bendFrom(curve, u) < least * (1 - 1e-9);
    }
    expect(isBelow).toBe(false);
    const starts = [...curve.from].filter((volts) => volts > 0);
    for (const start of starts) {
      let most = 0;
      for (const from of [...starts, 12].filter((volts) => volts >= start))
        for (const u of [from + 1e-9, from - 1e-9]) if (u > start) most = Math.max(most, second(u));
      expect(bendFrom(curve, start)).toBeCloseTo(most, 5);
    }
  }
});

describe('where Newton no longer squares its error', () => {
  test('below what jumps in its slope, and nowhere else', () => {
    const jump = compileLoadCurve(resistive(100, 5), 1);
    expect(bendFrom(jump, 4.9)).toBe(Infinity);
    expect(bendFrom(jump, 5.1)).toBe(0);
    const idle = compileLoadCurve(model(0.01, 3), 1);
    expect(bendFrom(idle, 2.9)).toBe(Infinity);
    expect(bendFrom(idle, 3.1)).toBe(0);
    const falling = compileLoadCurve(converter(1, 5), 1);
    expect(bendFrom(falling, 11)).toBe(Infinity);
  });

  test('at and below no volts', () => {
    const curve = compileLoadCurve(kneeAmps(0.06, 9, 10), 1);
    expect(bendFrom(curve, 0)).toBe(Infinity);
    expect(bendFrom(curve, -1)).toBe(Infinity);
    expect(bendFrom(curve, 11)).toBe(0);
  });
});

describe('where to start from', () => {
  test.each<[string, LoadModel, number]>([
    ['between the lowest foot and the highest knee', model(0, 1, knee(0.02, 4, 5), knee(0.02, 7, 9)), 6.5],
    [
      'of knees, whatever else there is',
      model(0, 1, { kind: 'resistive', ohms: 9, forwardVolts: 1 }, knee(1, 3, 4)),
      3.5,
    ],
    ['at the lowest forward voltage', model(0, 1, ...resistive(9, 5).channels, ...resistive(9, 3).channels), 3],
    ['at the foot of a lockout', converter(2, 5), 4.5],
  ])('%s', (_, each, volts) => {
    expect(compileLoadCurve(each, 1).middleVolts).toBeCloseTo(volts, 12);
  });
});

describe('where the current is constant', () => {
  test('from the highest knee on, with what idles', () => {
    const each = model(0.003, 2, knee(0.02, 4, 5), knee(0.03, 7, 9));
    expect(compileLoadCurve(each, 0.5)).toMatchObject({ regulatedVolts: 9, fullAmps: 0.003 + 0.025 });
    // Without any channel in use only the idle current is left.
    expect(compileLoadCurve(each, 0)).toMatchObject({ regulatedVolts: 2, fullAmps: 0.003, isMonotone: true });
    expect(compileLoadCurve(model(0, 2, knee(0, 4, 5)), 1)).toMatchObject({ regulatedVolts: -Infinity, fullAmps: 0 });
  });

  test('never where something rises or falls with the volts', () => {
    for (const each of [resistive(100, 2), converter(1, 5)])
      expect(compileLoadCurve(each, 1)).toMatchObject({ regulatedVolts: Infinity, fullAmps: 0 });
  });
});

test('nothing flows at no volts or backwards; the slope at no volts is the one above it', () => {
  const curve = compileLoadCurve(model(0.01, 2, ...resistive(100).channels), 1);
  expect(curveAmps(curve, 0)).toBe(0);
  expect(curveAmps(curve, -3)).toBe(0);
  expect(curveAmps(curve, Number.NaN)).toBe(0);
  expect(curveSlope(curve, 0)).toBeCloseTo(0.015, 12);
  expect(curveSlope(curve, -1e-9)).toBe(0);
  // At a break point the slope above it counts.
  expect(curveSlope(curve, 2)).toBeCloseTo(0.01, 12);
  expect(curveAmps(curve, 2)).toBeCloseTo(0.03, 12);
});
