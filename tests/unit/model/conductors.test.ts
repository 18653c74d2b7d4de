import { describe, expect, it } from 'vitest';
import { Declaration } from '#grammar/source.ts';
import type { Measure } from '#server/model/bound.ts';
import { conductorOf, conductorOhms, ratedByConductor } from '#server/model/conductors.ts';

/** ohm per 1000 ft to ohm per m. */
const perKft = (ohms: number) => ohms / 304.8;

const gauge = (awg: number, clad = false) => conductorOf(given({ si: awg, dimension: 'gauge' }, `${awg} AWG`), clad);
const area = (mm2: number, clad = false) =>
  conductorOf(given({ si: mm2 * 1e-6, dimension: 'area' }, `${mm2} mm2`), clad);

function given(value: Measure, text: string) {
  const declaration = new Declaration(text);
  return { value, text, origin: { uri: '', declaration, start: 0, end: text.length } };
}

describe('by gauge', () => {
  // Handbook values of solid wire at 20 degC, ohm per 1000 ft (Floyd, Electric Circuit Fundamentals, as tabulated by a
  // university physics site); strands lie 2 % longer (ASTM B8, from memory).
  it.each([
    [10, 0.9989],
    [12, 1.588],
    [14, 2.525],
    [16, 4.016],
    [18, 6.385],
    [20, 10.15],
    [22, 16.14],
    [24, 25.67],
    [26, 40.81],
  ])('%d AWG is the handbook value of solid wire and 2 %% for its strands', (awg, handbook) => {
    const found = conductorOhms(gauge(awg), 1, 20);
    expect(Math.abs(found / (perKft(handbook) * 1.02) - 1)).toBeLessThan(0.0005);
  });

  // NEC chapter 9 table 8: uncoated copper of 7 strands at 75 degC, ohm per 1000 ft. Its rounding allows 0.6 %.
  it.each([
    [18, 7.95],
    [16, 4.99],
    [14, 3.14],
    [12, 1.98],
    [10, 1.24],
  ])('%d AWG stranded at 75 degC is that of NEC table 8', (awg, table) => {
    expect(Math.abs(conductorOhms(gauge(awg), 1, 75) / perKft(table) - 1)).toBeLessThan(0.006);
  });

  it('two in parallel have half of it', () => {
    expect(conductorOhms(gauge(14), 10, 20, 2)).toBeCloseTo(conductorOhms(gauge(14), 5, 20), 15);
  });

  it('copper-clad aluminium of class 10 has 1.59 times as much (ASTM B566, from memory)', () => {
    expect(gauge(18, true).ohmsPerMetre / gauge(18).ohmsPerMetre).toBeCloseTo(1.59, 2);
  });

  it('24 AWG, 100 m: more than the 8.42 ohm of solid wire and less than the 9.38 ohm that network cable may have', () => {
    expect(conductorOhms(gauge(24), 100, 20)).toBeGreaterThan(8.42);
    expect(conductorOhms(gauge(24), 100, 20)).toBeLessThan(9.38);
  });
});

describe('by area', () => {
  // IEC 60228, class 5 plain copper, most resistance at 20 degC in ohm per km.
  const CLASS_5 = [
    [0.5, 39.0],
    [0.75, 26.0],
    [1, 19.5],
    [1.5, 13.3],
    [2.5, 7.98],
    [4, 4.95],
    [6, 3.3],
  ] as const;

  it.each(CLASS_5)('%d mm2 is the most that IEC 60228 allows: %d ohm per km', (mm2, ohms) => {
    expect(conductorOhms(area(mm2), 1000, 20)).toBeCloseTo(ohms, 9);
  });

  it.each(CLASS_5)('%d mm2 by its bare area would promise less than %d ohm per km', (mm2, ohms) => {
    // An area that is no nominal size is taken as it is.
    expect(conductorOhms(area(mm2 * 1.0001), 1000, 20)).toBeLessThan(ohms);
  });

  it('warms by the factors of IEC 60228 within their rounding: 0.4 % a kelvin there, 0.393 % here', () => {
    // R20 = R_t * K_t: K is 1.064 at 5, 1.042 at 10, 0.962 at 30, 0.926 at 40, 0.893 at 50 degC.
    for (const [celsius, factor] of [
      [5, 1.064],
      [10, 1.042],
      [30, 0.962],
      [40, 0.926],
      [50, 0.893],
    ] as const) {
      expect(Math.abs((conductorOhms(area(1.5), 1000, celsius) * factor) / 13.3 - 1)).toBeLessThan(0.003);
    }
  });
});

describe('the current that it may carry', () => {
  // NEC 240.4(D): 14, 12 and 10 AWG 15, 20 and 30 A; 18 and 16 AWG 7 and 10 A (from memory).
  // FAA AC 43.13-1B table 11-9: 24, 22 and 20 AWG 2.5, 3 and 4 A.
  it.each([
    [24, 2.5],
    [22, 3],
    [20, 4],
    [18, 7],
    [16, 10],
    [14, 15],
    [12, 20],
    [10, 30],
  ])('%d AWG: %d A', (awg, amps) => {
    expect(ratedByConductor(gauge(awg))?.value).toBe(amps);
  });

  // Flexible cords: 0.5, 0.75 and 1 mm2 3, 6 and 10 A (a maker's table of HD 21); 1.5 and 2.5 mm2 16 and 25 A (from memory).
  it.each([
    [0.5, 3],
    [0.75, 6],
    [1, 10],
    [1.5, 16],
    [2.5, 25],
  ])('%d mm2: %d A', (mm2, amps) => {
    expect(ratedByConductor(area(mm2))?.value).toBe(amps);
  });

  it('between two sizes is that of the smaller one, and below all of them not known', () => {
    expect(ratedByConductor(gauge(19))?.value).toBe(4);
    expect(ratedByConductor(area(2))?.value).toBe(16);
    expect(ratedByConductor(gauge(30))).toBeUndefined();
    expect(ratedByConductor(area(0.2))).toBeUndefined();
  });
});
