import { describe, expect, test } from 'vitest';
import {
  awgArea,
  awgDiameter,
  conductorOhms,
  copperCladAluminiumFactor,
  copperResistivity,
  strandedFactor,
} from '#server/electrics/conductor.ts';

const metresPer1000ft = 304.8;

describe('solid copper by American wire gauge, ohm per 1000 ft at 20 degC', () => {
  // Floyd, Electric Circuit Fundamentals, as tabulated by a university physics site.
  test.each([
    [10, 0.9989],
    [12, 1.588],
    [14, 2.525],
    [16, 4.016],
    [18, 6.385],
    [20, 10.15],
    [22, 16.14],
    [24, 25.67],
    [26, 40.81],
  ])('AWG %i: %f', (gauge, ohms) => {
    const computed = conductorOhms({ area: awgArea(gauge), metres: metresPer1000ft, celsius: 20 });
    expect(Math.abs(computed / ohms - 1)).toBeLessThan(3e-4);
  });
});

describe('National Electrical Code, chapter 9 table 8: 75 degC, uncoated copper, ohm per 1000 ft', () => {
  test.each([
    [18, 7.77, 7.95],
    [16, 4.89, 4.99],
    [14, 3.07, 3.14],
    [12, 1.93, 1.98],
    [10, 1.21, 1.24],
  ])('AWG %i: solid %f, seven strands %f', (gauge, solid, stranded) => {
    const area = awgArea(gauge);
    const computed = conductorOhms({ area, metres: metresPer1000ft, celsius: 75 });
    const computedStranded = conductorOhms({ area, metres: metresPer1000ft, celsius: 75, factor: strandedFactor });
    expect(Math.abs(computed / solid - 1)).toBeLessThan(6e-3);
    expect(Math.abs(computedStranded / stranded - 1)).toBeLessThan(6e-3);
  });
});

describe('IEC 60228: greatest resistance of class 5 and of class 1 and 2 conductors at 20 degC, ohm per km', () => {
  // The table allows for tolerance in area and length, so the nominal area must give less, but not much less.
  test.each([
    [0.5, 36.0, 39.0],
    [0.75, 24.5, 26.0],
    [1.0, 18.1, 19.5],
    [1.5, 12.1, 13.3],
    [2.5, 7.41, 7.98],
    [4, 4.61, 4.95],
    [6, 3.08, 3.3],
  ])('%f mm2: at most %f and %f', (area, solid, flexible) => {
    const computed = conductorOhms({ area, metres: 1000, celsius: 20 });
    expect(computed).toBeLessThanOrEqual(solid);
    expect(computed).toBeLessThanOrEqual(flexible);
    expect(computed).toBeGreaterThan(0.85 * flexible);
  });
});

test('hot copper: IEC 60228 correction factors to 20 degC (which take 0.004 per K)', () => {
  const factors: [number, number][] = [
    [5, 1.064],
    [10, 1.042],
    [30, 0.962],
    [40, 0.926],
    [50, 0.893],
    [60, 0.862],
    [70, 0.833],
    [75, 0.82],
  ];
  for (const [celsius, factor] of factors) {
    expect(Math.abs(copperResistivity(20) / copperResistivity(celsius) / factor - 1)).toBeLessThan(4e-3);
  }
});

test('hot copper: the inferred zero of FAA AC 43.13-1B, R(T) = R(20) (234.5 + T) / 254.5', () => {
  for (const celsius of [-20, 0, 50, 90]) {
    const expected = (234.5 + celsius) / 254.5;
    expect(copperResistivity(celsius) / copperResistivity(20)).toBeCloseTo(expected, 3);
  }
});

test('copper-clad aluminium: 62.9 and 64.4 % IACS for 10 and 15 % copper by volume (ASTM B566, from memory)', () => {
  expect(100 / copperCladAluminiumFactor[10]).toBeCloseTo(62.9, 1);
  expect(100 / copperCladAluminiumFactor[15]).toBeCloseTo(64.4, 1);
});

test('two conductors side by side are one of twice the area', () => {
  const one = { area: awgArea(18), metres: 7, celsius: 20 };
  expect(conductorOhms({ ...one, parallel: 2 })).toBeCloseTo(conductorOhms({ ...one, area: 2 * one.area }), 12);
});

test('the gauge series: 36 is 5 mil, 4/0 is 460 mil (ASTM B258)', () => {
  expect(awgDiameter(36)).toBeCloseTo(0.127, 12);
  expect(awgDiameter(-3)).toBeCloseTo(0.46 * 25.4, 9);
});
