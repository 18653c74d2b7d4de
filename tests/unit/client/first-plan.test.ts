import { describe, expect, it } from 'vitest';
import { type FirstPlan, firstPlan } from '../../../client/src/first-plan.ts';
import { analysePlan } from '../../support/plans.ts';

const kinds = (['metric', 'imperial'] as const).flatMap((units) =>
  ([5, 12] as const).map((volts): FirstPlan => ({ title: 'Quay "lights"', units, volts })),
);

describe.each(kinds)('a first plan of $volts V, $units', (kind) => {
  const text = firstPlan(kind);
  const { analysis } = analysePlan(text);

  it('has nothing wrong with it', () => {
    expect(analysis.findings.map(({ code, message }) => `${code}: ${message}`)).toEqual([]);
  });

  it('is lit, in the units that were chosen', () => {
    const [run] = analysis.plan.runs.values();
    // By hand: three colours of 18.5 mA and 1 mA idle are 56.5 mA a pixel.
    const full = (run?.pixelCount ?? 0) * 0.0565;
    const amps = run === undefined ? undefined : analysis.account.runs.get(run)?.amps;
    expect(amps).toBeGreaterThan(full * 0.99);
    expect(amps).toBeLessThanOrEqual(full);
    expect(analysis.plan.design.units).toBe(kind.units);
  });

  it('has the usual cautions', () => {
    expect(text).toMatch(/licensed electrician[\s\S]*residual-current[\s\S]*Fuse every feed[\s\S]*disconnect/);
  });
});
