import { describe, expect, it } from 'vitest';
import { CARRIER_BYTES, DATA_BYTES, loadOf, networkLoads, SYNCHRONISATION_BYTES } from '#server/model/network-load.ts';
import { analysePlan } from '../../support/plans.ts';

const plain = { synchronised: false };

describe('the load of the network', () => {
  it('has packets of 638 bytes: 126 in front of 512 slots (ANSI E1.31, as an open comparison of protocols gives it)', () => {
    expect(DATA_BYTES).toBe(126 + 512);
    expect(SYNCHRONISATION_BYTES).toBe(49);
  });

  it('has 66 bytes around each: 8 + 14 + 4 + 12 of Ethernet, 20 of IP, 8 of UDP', () => {
    expect(CARRIER_BYTES).toBe(66);
  });

  it('is 225,280 bit/s for a universe at 40 frames a second: 704 bytes x 8 x 40', () => {
    expect(loadOf(1, 40, plain)).toEqual({ universes: 1, packetsPerSecond: 40, bitsPerSecond: 225_280 });
  });

  it('lets 67,340 pixels at 45 frames a second fill 100 Mbit/s, as that comparison reckons with 512 / 3 pixels a universe', () => {
    const universes = Math.floor((67_340 * 3) / 512);
    expect(loadOf(universes, 45, plain).bitsPerSecond).toBeLessThanOrEqual(100e6);
    expect(loadOf(universes + 1, 45, plain).bitsPerSecond).toBeGreaterThan(100e6);
  });

  it('counts every universe of a controller once, and none for what receives nothing', () => {
    const { analysis } = analysePlan(`plan {
  frame-rate 20 fps
  network synchronised
}
use "bench.festoon"
controller box  of data-board
controller spare  of data-board
run a  from box.1 {
  string 100 px  of steady-5  every 10 mm
}
run b  from box.2 {
  string 100 px  of steady-5  every 10 mm
}
`);
    // 200 px lie in universes 1 and 2. (2 x 704 + 115) bytes x 8 x 20.
    const loads = [...networkLoads(analysis.plan)].map(([controller, load]) => [controller.name, load]);
    expect(loads).toEqual([['box', { universes: 2, packetsPerSecond: 60, bitsPerSecond: 243_680 }]]);
  });
});
