import { describe, expect, it } from 'vitest';
import { faultsOf } from '#server/model/faults.ts';
import { driverOf, linkLength } from '#server/model/links.ts';
import { hostOfDisplay, sampleDisplays } from '../../support/samples.ts';

const analysisOf = (name: string) => {
  const display = sampleDisplays().find((other) => other.name === name);
  if (display === undefined) throw new Error(`no sample ${name}`);
  return hostOfDisplay(display).analyse(display.main);
};

describe('the entrance, on a receiver', () => {
  const { plan, account } = analysisOf('entrance/plan.festoon');
  const wreath = plan.runs.get('wreath');

  it('is driven by ports of the controller that the link takes', () => {
    const driver = wreath === undefined ? undefined : driverOf(wreath);
    expect(driver?.board.name).toBe('door');
    expect(driver?.port).toBe(2);
    expect(driver?.source.name).toBe('box');
    // The link takes box.1 to box.4, so the receiver's second port is box.2.
    expect(driver?.sourcePort).toBe(2);
  });

  it('lies at the end of the way and its slack', () => {
    const link = plan.controllers.get('door')?.link;
    // 40 m of route and 0.5 m of slack at both ends.
    expect(link === undefined ? 0 : linkLength(link)).toBeCloseTo(41, 9);
  });

  it('loses what a wreath on a fused port loses, reckoned by hand', () => {
    // 200 px x 56.5 mA + 0.2 A of the receiver = 11.50 A through the droop of 2 mohm: 0.0230 V.
    // 40 px x 56.5 mA = 2.260 A: with the board's 0.2 A through a 5 A fuse of 17.85 mohm 0.0439 V, through the port's own
    // 5 A fuse 0.0403 V; 3 m of 18 AWG (21.367 mohm/m) out and back 128.2 mohm: 0.2897 V; a connector of 10 mohm on each
    // rail: 0.0452 V. The string: 2 x 56.5 mA x 75 mm x 21.367 mohm/m x (1 + 2 + … + 40 = 820): 0.1485 V.
    const least = wreath === undefined ? undefined : account.runs.get(wreath)?.least;
    expect(least?.pixel).toBe(40);
    expect(least?.volts).toBeCloseTo(12.4 - 0.023 - 0.0439 - 0.0403 - 0.2897 - 0.0452 - 0.1485, 3);
  });

  it('goes dark when the controller at the other end loses its power, and when the link is pulled', () => {
    const faults = faultsOf(account);
    const runsOf = (matches: (fault: (typeof faults)[number]) => boolean) =>
      faults.find(matches)?.runs.map(({ run, dark, noData }) => [run.name, dark, noData]);
    const allDark = [
      ['jambs', [{ from: 1, to: 160 }], true],
      ['wreath', [{ from: 1, to: 40 }], true],
    ];
    expect(runsOf(({ what }) => what.kind === 'supply' && what.supply.name === 'shed-psu')).toEqual(allDark);
    expect(runsOf(({ what }) => what.kind === 'link' && what.receiver.name === 'door')).toEqual(allDark);
  });
});

describe('the side box, on two fused boards', () => {
  const { plan, account } = analysisOf('side-box/plan.festoon');

  it('carries half of the matrix on each of them', () => {
    const left = plan.boards.get('left');
    const load = left === undefined ? undefined : account.boards.get(left);
    // 250 px x 56.5 mA = 14.125 A, and 0.2 A of the receiver on the left board: 14.325 A.
    expect(load?.cable.positive).toBeCloseTo(14.325, 2);
    const right = plan.boards.get('right');
    expect(right === undefined ? 0 : account.boards.get(right)?.cable.positive).toBeCloseTo(14.125, 2);
  });
});
