import { expect, test } from 'vitest';
import type { LoadChannel, LoadModel } from '#server/electrics/circuit.ts';
import { compileLoadCurve, curveAmps, curveSlope } from '#server/electrics/solve/load-curve.ts';
import { converter, kneeAmps, noLoad, resistive } from '../../support/circuits.ts';
import { definedAmps } from '../../support/kirchhoff.ts';
import { seededRandom } from '../../support/random-circuit.ts';

test('the pieces add up to the definition, and their slopes to its differences', () => {
  const random = seededRandom(11);
  for (let i = 0; i < 300; i++) {
    const channels: LoadChannel[] = Array.from({ length: Math.floor(4 * random()) }, () => {
      const volts = 1 + 9 * random();
      const kind = random();
      if (kind < 0.5) return { kind: 'regulated', amps: random(), zeroVolts: volts, kneeVolts: volts + 0.1 + random() };
      if (kind < 0.75) return { kind: 'resistive', ohms: 1 + 100 * random(), forwardVolts: volts };
      return { kind: 'converter', watts: random(), lockoutVolts: volts };
    });
    const model: LoadModel = { quiescentAmps: 0.01 * random(), quiescentVolts: 1 + random(), channels };
    const scale = random();
    const curve = compileLoadCurve(model, scale);
    for (let u = -1; u < 13; u += 0.0371) {
      expect(Math.abs(curveAmps(curve, u) - definedAmps(model, scale, u))).toBeLessThan(1e-13);
      const h = 1e-6;
      const isSmooth = ![...curve.from].some((volts) => Math.abs(volts - u) < 2 * h);
      if (!isSmooth) continue;
      const difference = (definedAmps(model, scale, u + h) - definedAmps(model, scale, u - h)) / (2 * h);
      expect(Math.abs(curveSlope(curve, u) - difference)).toBeLessThan(1e-6 * Math.max(1, Math.abs(difference)));
    }
  }
});

test('where the current is constant', () => {
  expect(compileLoadCurve(kneeAmps(0.06, 9.6, 10.2), 0.5)).toMatchObject({ regulatedVolts: 10.2, fullAmps: 0.03 });
  expect(compileLoadCurve(resistive(200), 1).regulatedVolts).toBe(Infinity);
  expect(compileLoadCurve(converter(1, 5), 1).regulatedVolts).toBe(Infinity);
  expect(compileLoadCurve(converter(1, 5), 0)).toMatchObject({ regulatedVolts: -Infinity, fullAmps: 0 });
  expect(compileLoadCurve(noLoad, 1)).toMatchObject({ regulatedVolts: -Infinity, fullAmps: 0, isMonotone: true });
});
