import { expect, test } from 'vitest';
import { refreshOf } from '#server/model/fixtures.ts';
import type { PanelFacts } from '#server/model/panel-facts.ts';

const panel: PanelFacts = {
  rows: 32,
  columns: 64,
  turns: 16,
  bits: 8,
  shortened: 4,
  rate: 20e6,
  refresh: { value: 100, origin: undefined, source: 'a test' },
};

// By hand: a line of one panel takes 64 x 32 / (2 x 16) = 64 clocks. Four planes shortened and 1 + 2 + 4 + 8 shifts: 19.
// The planes are lit for 255 / 2^4 shifts of these 19.
test('a chain of more panels than a call can have arguments is reckoned', () => {
  for (const count of [12, 200_000]) {
    const refresh = refreshOf(new Array<PanelFacts>(count).fill(panel));
    expect(refresh?.slots).toBe(19);
    expect(refresh?.clocks).toBe(64 * count);
    expect(refresh?.seconds).toBeCloseTo((16 * 19 * 64 * count) / 20e6, 6);
    expect(refresh?.light).toBeCloseTo(255 / 16 / 19, 12);
  }
});
