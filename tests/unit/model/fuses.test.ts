import { describe, expect, it } from 'vitest';
import { FUSE_RATINGS, fuseOhms, ratedFuse } from '#server/model/fuses.ts';

describe('cold resistance of a blade fuse', () => {
  it('at 10 A as published: 1 mV stands for 130 mA, so 7.7 mohm', () => {
    // A vehicle workshop's table of voltage drops over fuses.
    expect(fuseOhms(10)).toBeCloseTo(0.001 / 0.13, 4);
  });

  it('at 15 A near the published one of the mini size: 1.0 mV stands for 218 mA, so 4.6 mohm', () => {
    // A service report's table; the larger size has a little more.
    expect(fuseOhms(15) / (0.001 / 0.218)).toBeGreaterThan(0.95);
    expect(fuseOhms(15) / (0.001 / 0.218)).toBeLessThan(1.1);
  });

  it("at the other ratings as on a maker's sheet (from memory)", () => {
    const sheet = { 1: 123, 2: 53.5, 3: 31.1, 4: 22.8, 5: 17.85, 7.5: 10.9, 20: 3.38, 25: 2.52, 30: 1.97 };
    for (const [amps, mohm] of Object.entries(sheet)) expect(fuseOhms(Number(amps))).toBeCloseTo(mohm / 1000, 9);
  });

  it('falls with the rating, between the ratings too and beyond both ends', () => {
    for (let amps = 0.25; amps < 60; amps += 0.25) {
      expect(fuseOhms(amps)).toBeGreaterThan(0);
      expect(fuseOhms(amps + 0.25)).toBeLessThan(fuseOhms(amps));
    }
  });

  it('keeps the drop at rated current near that of the ratings beside it: 85 to 130 mV warm, 50 to 130 mV cold', () => {
    for (let amps = 1; amps <= 30; amps += 0.1) {
      expect(amps * fuseOhms(amps)).toBeGreaterThan(0.05);
      expect(amps * fuseOhms(amps)).toBeLessThan(0.13);
    }
  });
});

describe('the fuse that fits', () => {
  it('has a rating that can be bought (ISO 8820-3)', () => {
    for (const rating of [1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30]) expect(FUSE_RATINGS).toContain(rating);
  });

  // Loaded to 80 %: a load of 4.01 A needs more than 5 A.
  it.each([
    [4, 15, 0.8, 5],
    [4.01, 15, 0.8, 7.5],
    [0, 15, 0.8, 1],
    [12, 15, 0.8, 15],
    [12.1, 15, 0.8, undefined],
    [3, 2, 0.8, undefined],
  ])('the smallest for %d A, at most %d A, loaded to %d, is %s', (load, limit, share, expected) => {
    expect(ratedFuse(load, limit, share)).toBe(expected);
  });

  it.each([
    [4, 15, 0.8, 15],
    [4, 16, 0.8, 15],
    [4, 5, 0.8, 5],
    [4.1, 5, 0.8, undefined],
  ])('the largest for %d A, at most %d A, loaded to %d, is %s', (load, limit, share, expected) => {
    expect(ratedFuse(load, limit, share, 'largest')).toBe(expected);
  });
});
