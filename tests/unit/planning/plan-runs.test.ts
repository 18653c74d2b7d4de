import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { variantsFor } from '#server/planning/plan-runs.ts';

describe('the number of variants', () => {
  const runs = fc.integer({ min: 1, max: 1000 });
  const most = fc.integer({ min: 1, max: 100 });

  it('is one at least, and no more than what is asked for', () => {
    fc.assert(
      fc.property(runs, most, (wanting, limit) => {
        expect(variantsFor(wanting, limit)).toBeGreaterThanOrEqual(1);
        expect(variantsFor(wanting, limit)).toBeLessThanOrEqual(limit);
      }),
    );
  });

  it('leaves some 120 runs to plan at most, whether they are few that are planned often or many that are planned once', () => {
    fc.assert(
      fc.property(runs, most, (wanting, limit) => {
        const variants = variantsFor(wanting, limit);
        if (variants > 1) expect(variants * wanting).toBeLessThanOrEqual(120);
        // One more would be too many.
        if (variants < limit) expect((variants + 1) * wanting).toBeGreaterThan(120);
      }),
    );
  });

  it('is what is asked for where nothing is wanting', () => {
    expect(variantsFor(0, 24)).toBe(24);
  });
});
