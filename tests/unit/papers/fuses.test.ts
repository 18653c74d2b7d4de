/** Fuses on the parts list, counted by hand in the plan. */
import { describe, expect, it } from 'vitest';
import { needsOf } from '#server/papers/needs.ts';
import { hostOfDisplay, sampleDisplays } from '../../support/samples.ts';

describe('the fuses to buy', () => {
  it('are those of supplies and of fused boards', () => {
    const display = sampleDisplays().find(({ name }) => name === 'side-box/plan.festoon');
    if (display === undefined) throw new Error('side-box is gone');
    const { plan } = hostOfDisplay(display).analyse(display.main);
    const fuses = needsOf(plan).filter(({ kind }) => kind === 'fuse');
    // 2 A: the supply in the shed and left.1. 10 A: left.2 to left.5 and right.1 to right.4.
    expect(fuses.map(({ name, amount }) => [name, amount])).toEqual([
      ['2 A fuse', 2],
      ['10 A fuse', 8],
    ]);
  });
});
