/** What pixels draw at their nominal voltage, as makers and others print it. */
import { describe, expect, test } from 'vitest';
import type { LoadModel } from '#server/electrics/circuit.ts';
import { circuitOf, ideal, resistive, solved } from '../../support/circuits.ts';

describe('what pixels draw, as makers and a bench note print it', () => {
  /** So many pixels on wires of next to nothing, at 12 V. */
  const drawn = (count: number, model: LoadModel, scale = 1) => {
    const ends = { positiveStart: 0, negativeStart: 1, positiveEnd: 2, negativeEnd: 3 };
    const stretches = [{ ...ends, count, positiveOhms: 1e-6, negativeOhms: 1e-6, model, scale }];
    return solved(circuitOf({ nodeCount: 4, sources: [ideal(0, 1, 12)], stretches })).sourceAmps[0]!;
  };
  const colour = (amps: number) => ({ kind: 'regulated' as const, amps, kneeVolts: 6, zeroVolts: 5 });

  test('a guide to TM1814 strips: 100 chips of four colours of 38 mA, and 10 mA for each chip: 16.2 A', () => {
    const channels = [0.038, 0.038, 0.038, 0.038].map(colour);
    expect(drawn(100, { quiescentAmps: 0.01, quiescentVolts: 4, channels })).toBeCloseTo(16.2, 6);
  });

  test('a bench note: 7 pixels of three colours of 18 mA at 64 / 255, lit for 94 % of the time: about 90 mA', () => {
    const channels = [0.018, 0.018, 0.018].map(colour);
    const amps = drawn(7, { quiescentAmps: 0, quiescentVolts: 4, channels }, (64 / 255) * 0.94);
    expect(Math.abs(amps - 0.09)).toBeLessThan(0.001);
  });

  test('the WS2811 data sheet: (12 V - 3 * 2.0 V) / 18.5 mA is a resistor of 0.324 kilohm', () => {
    expect(drawn(1, resistive(324, 3 * 2.0))).toBeCloseTo(0.0185, 4);
  });
});
