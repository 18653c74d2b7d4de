import { describe, expect, it } from 'vitest';
import { addressesOf, addressOfPixel } from '#server/model/addresses.ts';
import { analysePlan } from '../../support/plans.ts';

/**
 * ANSI E1.31: universes of 512 slots. A pixel of three colours takes three slots, so 170 pixels fill a universe to slot 510
 * where none is split over two (common practice). All places below are counted by hand.
 */
const PARTS = `
use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 30 A
}
part pixel faint {
  voltage  12 V
  red      0.001 mA  knee 6 V  dark 5 V
  idle     0 mA
  wire     18 AWG
}
part pixel faint-white {
  voltage  12 V
  red      0.001 mA  knee 6 V  dark 5 V
  white    0.001 mA  knee 6 V  dark 5 V
  idle     0 mA
  wire     18 AWG
}
`;
const box = (name: string, block = '') =>
  `controller ${name}  of board  from psu.1${block === '' ? '' : ` {\n  ${block}\n}`}\n`;
const run = (name: string, from: string, ...lines: string[]) =>
  `run ${name}  from ${from} {\n  ${lines.join('\n  ')}\n}\n`;
const string = (pixels: number, part = 'faint') => `string ${pixels} px  of ${part}  every 10 mm`;

/** Every span as "universe/slot+slots pixels". */
function places(plan: string): Record<string, string[]> {
  const { analysis } = analysePlan(PARTS + plan);
  expect(analysis.findings.filter(({ code }) => code.startsWith('address'))).toEqual([]);
  return Object.fromEntries(
    [...addressesOf(analysis.plan).values()].map(({ run: { name }, spans }) => [
      name,
      spans.map((at) => `${at.universe}/${at.slot}+${at.slots} ${at.firstPixel}-${at.lastPixel}`),
    ]),
  );
}

describe('addresses', () => {
  it('fill a universe with 170 pixels and go on in the next', () => {
    expect(places(box('a') + run('eaves', 'a.1', string(341)))).toEqual({
      eaves: ['1/1+510 1-170', '2/1+510 171-340', '3/1+3 341-341'],
    });
  });

  it('of four colours fill it with 128', () => {
    expect(places(box('a') + run('eaves', 'a.1', string(130, 'faint-white')))).toEqual({
      eaves: ['1/1+512 1-128', '2/1+8 129-130'],
    });
  });

  it('follow one another in the order of the plan, whatever the ports', () => {
    const plan = box('a') + run('second', 'a.2', string(100)) + run('first', 'a.1', string(100));
    // 100 px end at slot 300. 70 px more end at 510, and 30 are left.
    expect(places(plan)).toEqual({ second: ['1/1+300 1-100'], first: ['1/301+210 1-70', '2/1+90 71-100'] });
  });

  it('start at the first universe of the controller, or behind the controllers before it', () => {
    const plan =
      box('a', 'universes from 5') +
      box('b') +
      box('c') +
      run('x', 'a.1', string(171)) +
      run('y', 'b.1', string(1)) +
      run('z', 'c.1', string(1));
    expect(places(plan)).toEqual({ x: ['5/1+510 1-170', '6/1+3 171-171'], y: ['7/1+3 1-1'], z: ['8/1+3 1-1'] });
  });

  it('stay where they are pinned, and others step over them', () => {
    const plan =
      box('a') +
      run('loose', 'a.1', string(10)) +
      run('pinned', 'a.2', string(10)).replace('a.2', 'a.2  universe 1 slot 7') +
      run('last', 'a.3', string(2));
    // 10 px do not fit in front of slot 7, so they go behind the pinned ones, which end at slot 36; so do two more.
    expect(places(plan)).toEqual({ loose: ['1/37+30 1-10'], pinned: ['1/7+30 1-10'], last: ['1/67+6 1-2'] });
  });

  it('of a controller without a first universe step over a later one that states its own', () => {
    const plan = box('a') + box('b', 'universes from 2') + run('x', 'a.1', string(171)) + run('y', 'b.1', string(10));
    // 171 px would reach into universe 2, whose first 30 slots are taken: the run goes there as a whole.
    expect(places(plan)).toEqual({ x: ['2/31+480 1-160', '3/1+33 161-171'], y: ['2/1+30 1-10'] });
  });

  it('split a pixel only where the controller says so', () => {
    // 171 x 3 = 513 slots.
    const plan = box('a', 'universes from 1  split') + run('eaves', 'a.1', string(171)) + run('tail', 'a.2', string(1));
    expect(places(plan)).toEqual({ eaves: ['1/1+512 1-171', '2/1+1 171-171'], tail: ['2/2+3 1-1'] });
  });

  it('leave dark pixels out', () => {
    const plan = box('a') + run('fence', 'a.1', string(10), 'gap 4 m', 'null 2 px  of faint', 'gap 4 m', string(10));
    expect(places(plan)).toEqual({ fence: ['1/1+30 1-10', '1/31+30 13-22'] });
  });

  it('are found for every pixel', () => {
    const plan =
      box('a', 'universes from 1  split') +
      box('b', 'universes from 10') +
      run('x', 'a.1', string(172)) +
      run('y', 'b.1', string(169), 'null 1 px  of faint', string(5, 'faint-white'));
    const { analysis } = analysePlan(PARTS + plan);
    const addresses = addressesOf(analysis.plan);
    const at = (name: string, pixel: number) => {
      const found = analysis.plan.runs.get(name);
      const address = found === undefined ? undefined : addresses.get(found);
      return address === undefined ? undefined : addressOfPixel(address, pixel);
    };
    expect(at('x', 170)).toEqual({ universe: 1, slot: 508 });
    expect(at('x', 171)).toEqual({ universe: 1, slot: 511 });
    expect(at('x', 172)).toEqual({ universe: 2, slot: 2 });
    expect(at('x', 173)).toBeUndefined();
    // 169 x 3 = 507 slots; a pixel of four fits once behind them, the next one starts a universe.
    expect(at('y', 170)).toBeUndefined();
    expect(at('y', 171)).toEqual({ universe: 10, slot: 508 });
    expect(at('y', 172)).toEqual({ universe: 11, slot: 1 });
  });

  it('are not given to runs without a controller or without pixels', () => {
    const { analysis } = analysePlan(
      `${PARTS}${box('a')}${run('lost', 'nowhere.1', string(3))}${run('bare', 'a.1', 'gap 1 m')}`,
    );
    expect(addressesOf(analysis.plan).size).toBe(0);
  });
});
