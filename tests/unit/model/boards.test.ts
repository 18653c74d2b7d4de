import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { faultsOf } from '#server/model/faults.ts';
import { outputText } from '#server/model/outputs.ts';
import { analysePlan } from '../../support/plans.ts';
import { festoon } from '../cli/console.ts';

/** A supply, a fused board on it, a second board on that, and a run that takes 6 A. The bench's values are round. */
const PLAN = `use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 15 A  cold 1 mohm
}
board left  from psu.1  2 m  of feed-14 {
  output 1  fuse 7.5 A  cold 1 mohm
  output 2
}
controller box  of data-board
run eaves  from box.1 {
  string 100 px  of steady-12  every 50 mm
}
feed eaves-a  from left.1  to eaves.start  1 m  of feed-14
`;
const BENCH = readFileSync(new URL('../../fixtures/bench.festoon', import.meta.url), 'utf8');

describe('a fused board', () => {
  const { out } = festoon(['solve', '--format', 'json', 'a.festoon'], {
    files: { '/plans/a.festoon': PLAN, '/plans/bench.festoon': BENCH },
  });
  const solved = JSON.parse(out);

  it('loses voltage in its cable and its fuse, before the feed does', () => {
    // 100 px x 60 mA = 6.000 A. The cable: 2 m x 8.451 mohm/m (18 AWG and 14 AWG: see the bench) x 2 conductors = 33.80 mohm.
    expect(solved.boards).toHaveLength(1);
    expect(solved.boards[0]).toMatchObject({ name: 'left', output: 'psu.1' });
    expect(solved.boards[0].amps).toBeCloseTo(6, 6);
    expect(solved.boards[0].drop).toBeCloseTo(0.2028, 4);
    // Droop 1, two fuses 1 each, cable 33.80, feed 16.90, two splices 1 each, first pitch of 18 AWG 2 x 1.068: 57.84 mohm,
    // all with 6 A. The controller is powered from elsewhere, so no ground but the feed's leads back.
    expect(solved.runs[0].pixelVolts[0]).toBeCloseTo(12 - 6 * 0.05784, 3);
  });

  it('counts its load on its own output and on the one that it hangs on', () => {
    const amps = (name: string) => solved.outputs.find((output: { name: string }) => output.name === name)?.amps;
    expect(amps('psu.1')).toBeCloseTo(6, 6);
    expect(amps('left.1')).toBeCloseTo(6, 6);
    expect(amps('left.2')).toBe(0);
  });

  it('goes dark as a whole when the fuse in front of it blows', () => {
    const faults = faultsOf(analysePlan(PLAN).analysis.account);
    for (const name of ['psu.1', 'left.1']) {
      const fault = faults.find(({ what }) => what.kind === 'fuse' && outputText(what.output) === name);
      expect(fault?.runs[0]?.dark).toEqual([{ from: 1, to: 100 }]);
    }
  });
});
