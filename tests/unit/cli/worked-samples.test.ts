/** The figures of samples, reckoned by hand. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { cablesOn } from '#server/checks/route-crowded.ts';
import { addressText } from '#server/model/address-text.ts';
import { addressesOf } from '#server/model/addresses.ts';
import { networkLoads } from '#server/model/network-load.ts';
import { hostOfDisplay, sampleDisplays } from '../../support/samples.ts';
import { festoon } from './console.ts';

function solve(name: string) {
  const files = Object.fromEntries(
    ['plan', 'parts'].map((file) => [
      `/plans/${file}.festoon`,
      readFileSync(`samples/${name}/${file}.festoon`, 'utf8'),
    ]),
  );
  const { out } = festoon(['solve', '--format', 'json', 'plan.festoon'], { files });
  return JSON.parse(out);
}

function analyse(name: string) {
  const display = sampleDisplays().find((each) => each.name === `${name}/plan.festoon`);
  if (display === undefined) throw new Error(`${name} is gone`);
  return hostOfDisplay(display).analyse(display.main);
}

const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);

describe('the roof outline', () => {
  const { runs, supplies } = solve('roof-outline');
  const [round] = runs;

  it('has 184 pixels that light and a dark one at 165', () => {
    // 48 + 48 + 34 + 34 = 164, the dark one, 20.
    expect(round.pixels).toBe(185);
    expect(round.pixelAmps[164]).toBeCloseTo(0.001, 9);
    expect(Math.min(...round.pixelAmps.filter((_: number, index: number) => index !== 164))).toBeGreaterThan(0.02);
  });

  it('turns 46 W into light and 1 mA a pixel into idling', () => {
    // 184 converters of 0.25 W each, whatever their voltage; every one of the 185 draws 1 mA besides.
    const lit = round.pixelVolts.map((volts: number, index: number) => volts * (round.pixelAmps[index] - 0.001));
    expect(sum(lit)).toBeCloseTo(184 * 0.25, 6);
    // Between 46 W at 12.4 V and 46 W at the 9 V that it needs.
    expect(round.amps).toBeGreaterThan(46 / 12.4 + 0.185);
    expect(round.amps).toBeLessThan(46 / 9 + 0.185);
    expect(supplies[0].amps).toBeCloseTo(round.amps + 0.3, 6);
  });

  it('takes 5.83 ms a frame: 185 x 30 us and a pause of 280 us', () => {
    expect(round.frameSeconds).toBeCloseTo(0.00583, 9);
  });

  it('has addresses for 184 pixels: 170 fill universe 1 to slot 510, 14 take 42 slots of universe 2', () => {
    const { plan } = analyse('roof-outline');
    const [address] = [...addressesOf(plan).values()];
    expect(address === undefined ? '' : addressText(address)).toBe('universe 1 slot 1 to universe 2 slot 42');
    expect(address?.spans.map(({ firstPixel, lastPixel }) => [firstPixel, lastPixel])).toEqual([
      [1, 164],
      [166, 171],
      [172, 185],
    ]);
  });
});

describe('the small props', () => {
  const { runs, supplies } = solve('small-props');

  it('are thirty lanterns of 12 pixels, each row with 6.78 A', () => {
    // 3 x 18.5 mA and 1 mA idle are 56.5 mA a pixel; all see more than the 10.4 V above which they hold it.
    for (const run of runs) {
      expect(run.pixels).toBe(120);
      expect(run.leastVolts).toBeGreaterThan(10.8);
      expect(run.amps).toBeCloseTo(120 * 0.0565, 6);
      expect(run.frameSeconds).toBeCloseTo(0.00388, 9);
    }
    // The board draws 0.3 A. 20.64 A x 2 mohm of droop take 41 mV from 12.4 V.
    expect(supplies[0].amps).toBeCloseTo(20.64, 6);
    expect(supplies[0].volts).toBeCloseTo(12.4 - 0.04128, 6);
  });

  it('have a universe for each row, and 676 kbit/s on the network', () => {
    const { plan } = analyse('small-props');
    expect([...addressesOf(plan).values()].map(addressText)).toEqual([
      'universe 1 slots 1 to 360',
      'universe 2 slots 1 to 360',
      'universe 3 slots 1 to 360',
    ]);
    // 3 x 704 bytes x 8 x 40.
    expect([...networkLoads(plan).values()].map(({ bitsPerSecond }) => bitsPerSecond)).toEqual([675_840]);
  });
});

describe('the arches', () => {
  const { runs, supplies, feeds } = solve('arches');
  const [walk] = runs;

  it('draw 260 x 56.5 mA, all of it through feeds', () => {
    // 60 + 40 + 60 + 40 + 60 pixels; three colours of 18.5 mA and 1 mA idle each, all above their knees.
    expect(walk.pixels).toBe(260);
    expect(walk.amps).toBeCloseTo(260 * 0.0565, 3);
    expect(sum(feeds.map(({ amps }: { amps: number }) => amps))).toBeCloseTo(260 * 0.0565, 3);
    // The board draws 0.3 A besides.
    expect(supplies[0].amps).toBeCloseTo(260 * 0.0565 + 0.3, 3);
  });

  it('take 8.08 ms a frame: 260 x 30 us and a pause of 280 us', () => {
    expect(walk.frameSeconds).toBeCloseTo(0.00808, 9);
  });

  it('lose half as much on a doubled way: 16 m of two 14 AWG side by side', () => {
    // 14 AWG: 8.45 mohm/m with 2 % for the lay (ASTM B258, IEC 60028), so 16 m of two are 67.6 mohm a conductor; the plan
    // states no air, so 20 degC holds.
    const end = feeds.find(({ name }: { name: string }) => name === 'walk-end');
    const positive = end.amps * 16 * 0.00845 * 0.5;
    expect(end.drop).toBeGreaterThan(positive);
    expect(end.drop / 2).toBeCloseTo(positive, 1);
  });
});

describe('the matrix with trunks', () => {
  const { runs, supplies } = solve('matrix-trunk');

  it('draws 1,200 x 15.5 mA from the supply behind it, and 0.2 A for the receiver', () => {
    expect(sum(runs.map(({ amps }: { amps: number }) => amps))).toBeCloseTo(1200 * 0.0155, 3);
    const fence = supplies.find(({ name }: { name: string }) => name === 'fence-psu');
    expect(fence.amps).toBeCloseTo(1200 * 0.0155 + 0.2, 3);
  });

  it('takes 18.28 ms a frame on each of two ports: 600 x 30 us and a pause of 280 us', () => {
    for (const { frameSeconds } of runs) expect(frameSeconds).toBeCloseTo(0.01828, 9);
  });

  it('has one cable from the shed, 25 m of way and half a metre at each end', () => {
    const { plan } = analyse('matrix-trunk');
    expect(plan.controllers.get('behind')?.link?.length).toBeCloseTo(26, 9);
  });
});

describe('the routes', () => {
  it('carry fewer cables than last year: two leads and a trunk, then one of each', () => {
    const { plan, findings } = analyse('routes');
    expect(plan.routes.map((route) => sum(cablesOn(plan, route).map(({ count }) => count)))).toEqual([3, 2]);
    expect(findings).toEqual([]);
  });

  it('and would say so if there were more', () => {
    const display = sampleDisplays().find((each) => each.name === 'routes/plan.festoon');
    if (display === undefined) throw new Error('routes is gone');
    const host = hostOfDisplay(display);
    const text = display.files.get(display.main) ?? '';
    host.setFile(display.main, text.replace('last-year 5 cables', 'last-year 2 cables'));
    expect(host.analyse(display.main).findings.map(({ code }) => code)).toEqual(['route-grown']);
  });
});
