import { describe, expect, it } from 'vitest';
import { faultsOf } from '#server/model/faults.ts';
import { netlistOf } from '#server/model/netlist.ts';
import { analysePlan } from '../../support/plans.ts';

/** A link whose cable has a core for the ground joins two supplies there: it is a conductor like any other. */
const { plan, account } = analysePlan(`use "bench.festoon"
part cable pairs-and-ground {
  conductor 24 AWG
  carries   ground data
}
supply near  of bench-12 {
  output 1  fuse 15 A
}
supply far  of bench-12 {
  output 1  fuse 15 A
}
controller box  of data-board  from near.1
receiver north  of far-two  from far.1 {
  link from box.7  60 m  of pairs-and-ground
}
run row  from north.1 {
  lead 1 m  of lead-18
  string 10 px  of steady-12  every 50 mm
}
`).analysis;

describe('a link with a ground', () => {
  it('is a resistor of the netlist', () => {
    const { lines } = netlistOf(plan, account);
    const at = lines.findIndex((line) => line.includes('ground of the link to north'));
    // 24 AWG: 0.2047 mm2 (ASTM B258), 17.241 / 0.2047 x 1.02 = 85.9 mohm/m; 60 m have 5.15 ohm.
    expect(Number(lines[at + 1]?.split(' ').at(-1))).toBeCloseTo(5.15, 1);
  });

  it('is one of the things that fail: the data are gone, the power stays', () => {
    const fault = faultsOf(account).find(({ what }) => what.kind === 'link');
    expect(fault?.runs).toMatchObject([{ run: { name: 'row' }, dark: [{ from: 1, to: 10 }], noData: true }]);
  });
});
