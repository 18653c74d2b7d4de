import { describe, expect, test } from 'vitest';
import type { LoadModel } from '#server/electrics/circuit.ts';
import { chainPhases, channelAmps } from '#server/electrics/pixel-currents.ts';
import { compileLoadCurve, curveAmps } from '#server/electrics/solve/load-curve.ts';

const model: LoadModel = {
  quiescentAmps: 0.001,
  quiescentVolts: 4,
  channels: [
    { kind: 'regulated', amps: 0.018, kneeVolts: 9, zeroVolts: 8 },
    { kind: 'regulated', amps: 0.018, kneeVolts: 10.4, zeroVolts: 9.6 },
    { kind: 'resistive', ohms: 324, forwardVolts: 6 },
  ],
};

test('the channels add up to the pixel, less what its electronics draw', () => {
  for (let volts = 3; volts < 13; volts += 0.37) {
    const sum = channelAmps(model, volts, 0.6).reduce((a, b) => a + b, 0);
    const quiescent = 0.001 * Math.min(1, volts / 4);
    expect(sum).toBeCloseTo(curveAmps(compileLoadCurve(model, 0.6), volts) - quiescent, 14);
  }
});

test('blue starves while red still holds; a resistor follows the volts', () => {
  // (10.8 - 6) / 324 = 14.8 mA, from the application circuit of a WS2811 data sheet.
  expect(channelAmps(model, 10.8, 1)[2]).toBeCloseTo(0.0148, 4);
  const [red, blue] = channelAmps(model, 10, 1);
  expect(red).toBeCloseTo(0.018, 12);
  expect(blue).toBeCloseTo(0.009, 12);
});

describe('three dies in series behind one current', () => {
  const chain = { amps: 0.015, forwardVolts: [2, 3.2, 3.2], kneeHeadroom: 1.2, zeroHeadroom: 0.4 };
  const total = (levels: readonly number[], volts: number) => {
    const channels = chainPhases(chain, levels).map(({ channel }) => channel);
    return curveAmps(compileLoadCurve({ quiescentAmps: 0, quiescentVolts: 1, channels }, 1), volts);
  };

  test('full white draws the same as full red or full blue (bench measurement of a 12 V series pixel)', () => {
    for (const levels of [
      [1, 1, 1],
      [1, 0, 0],
      [0, 0, 1],
      [0, 1, 1],
    ]) {
      expect(total(levels, 12)).toBeCloseTo(0.015, 12);
    }
  });

  test('the average is that of the brightest colour', () => {
    expect(total([0.2, 0.7, 0.4], 12)).toBeCloseTo(0.7 * 0.015, 12);
    expect(total([0, 0, 0], 12)).toBe(0);
  });

  test('the more dies are lit, the more volts they need', () => {
    // All three: 8.4 V and headroom; red alone: 2 V.
    expect(total([1, 1, 1], 9)).toBeLessThan(0.015);
    expect(total([1, 1, 1], 8.8)).toBe(0);
    expect(total([1, 0, 0], 8.8)).toBeCloseTo(0.015, 12);
    // Half white and half red: at 8.8 V only the red half is left.
    expect(total([1, 0.5, 0.5], 8.8)).toBeCloseTo(0.0075, 12);
  });

  test('phases tile the dimming period', () => {
    const phases = chainPhases(chain, [0.2, 0.7, 0.4]);
    expect(phases.map(({ lit }) => lit)).toEqual([[0, 1, 2], [1, 2], [1]]);
    phases.forEach(({ share }, i) => expect(share).toBeCloseTo([0.2, 0.2, 0.3][i]!, 12));
  });
});
