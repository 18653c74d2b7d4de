import { describe, expect, it } from 'vitest';
import { pixelsOf } from '#server/model/account.ts';
import { analysePlan } from '../../support/plans.ts';

/** Two strands of one pixel each, 60 mA a pixel, on 18 AWG (21.367 mohm/m by tests/fixtures/bench.festoon). */
const display = (wiring: string) =>
  analysePlan(`use "bench.festoon"
supply psu  of bench-12 {
  set 12 V
  output 1  fuse 15 A  cold 1 mohm
}
controller box  of data-board
run wall  from box.1 {
  lead 1 m  of data-18
  matrix canvas  2 strands x 1 px  of steady-12  every 1 m  spacing 0.5 m  ${wiring}
}
feed start  from psu.1  to wall.start  1 m  of feed-14
`).analysis;

function lastVolts(wiring: string): number {
  const [run] = display(wiring).account.runs.values();
  if (run === undefined) throw new Error('the run is not solved');
  return pixelsOf(run).volts[1] ?? Number.NaN;
}

describe('strands', () => {
  it('are wired serpentine where nothing is said', () => {
    expect(lastVolts('')).toBe(lastVolts('serpentine'));
  });

  it('wired straight have a strand of wire more between them', () => {
    // One pitch of 1 m on both rails at the 60 mA of the last pixel: 2 * 21.367 mohm * 0.06 A = 2.564 mV.
    expect(lastVolts('serpentine') - lastVolts('straight')).toBeCloseTo(0.002564, 5);
  });

  it('cannot be both', () => {
    expect(display('serpentine  straight').findings.map(({ code }) => code)).toContain('unexpected-word');
  });
});
