import { afterEach, expect, it, vi } from 'vitest';
import { leadTooLong } from '#server/checks/lead-too-long.ts';
import { analysePlan } from '../../support/plans.ts';

afterEach(() => {
  vi.restoreAllMocks();
});

it('a check that fails is reported, and takes no other with it', () => {
  vi.spyOn(leadTooLong, 'run').mockImplementation(() => {
    throw new Error('planted');
  });
  const { analysis } = analysePlan(`plan {
  frame-rate 40 fps
}
use "bench.festoon"
supply psu  of bench-12 {
  set 20 V
  output 1  fuse 15 A
}`);
  expect(analysis.findings.map(({ code }) => code).sort()).toEqual(['internal', 'supply-setting']);
  const fault = analysis.findings.find(({ code }) => code === 'internal');
  expect(fault?.message).toContain('"lead-too-long" (planted)');
});
