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

  describe('beyond the last universe, which is 63,999', () => {
    const read = (plan: string) => {
      const addresses = [...addressesOf(analysePlan(PARTS + plan).analysis.plan).values()];
      const listed = addresses.map(({ spans }) =>
        spans.map((at) => `${at.universe}/${at.slot}+${at.slots} ${at.firstPixel}-${at.lastPixel}`),
      );
      return { listed, at: (index: number, pixel: number) => addressOfPixel(addresses[index]!, pixel) };
    };

    it('are listed at the ends of a string alone, and found for every pixel', () => {
      const whole = box('a', 'universes from 63999') + run('x', 'a.1', string(1000)) + run('y', 'a.2', string(400));
      const { listed, at } = read(whole);
      expect(listed).toEqual([
        // 1000 px are five times 170 px and 150 px of 450 slots.
        ['63999/1+510 1-170', '64004/1+450 851-1000'],
        // 400 px: 20 px fill the universe from slot 451 on, 170 px each the next two, and 40 px are left.
        ['64004/451+60 1-20', '64007/1+120 361-400'],
      ]);
      expect(at(0, 171)).toEqual({ universe: 64_000, slot: 1 });
      expect(at(0, 850)).toEqual({ universe: 64_003, slot: 508 });
      expect(at(0, 851)).toEqual({ universe: 64_004, slot: 1 });
      expect(at(1, 191)).toEqual({ universe: 64_006, slot: 1 });
      expect(at(1, 360)).toEqual({ universe: 64_006, slot: 508 });
    });

    it('are listed so where pixels are split as well', () => {
      const { listed, at } = read(box('a', 'universes from 63999  split') + run('x', 'a.1', string(1000)));
      // 3000 slots are five times 512 and 440; slot 2560 of them is the first of pixel 854, the next two are behind it.
      expect(listed).toEqual([['63999/1+512 1-171', '64004/1+440 854-1000']]);
      expect(at(0, 172)).toEqual({ universe: 64_000, slot: 2 });
    });

    it('are so few for the largest panels that they can be held', () => {
      const panel = `part panel vast {
  voltage 5 V
  size    1024 rows x 4096 columns
  draws   4 A
  scan    16
  data    8 bits  at 20 MHz
}
`;
      const { analysis } = analysePlan(
        PARTS + panel + box('a') + run('wall', 'a.1', 'panels front  10 rows x 10 columns  of vast'),
      );
      const [wall] = addressesOf(analysis.plan).values();
      // A hundred times 4,194,304 px of three slots, 170 px in a universe: some 2.5 million universes.
      expect(wall?.spans.length).toBeGreaterThan(63_999);
      expect(wall?.spans.length).toBeLessThan(63_999 + 3 * 100);
      expect(wall?.spans.at(-1)?.universe).toBe(Math.ceil((100 * 1024 * 4096) / 170));
    });
  });

  it('are not given to runs without a controller or without pixels', () => {
    const { analysis } = analysePlan(
      `${PARTS}${box('a')}${run('lost', 'nowhere.1', string(3))}${run('bare', 'a.1', 'gap 1 m')}`,
    );
    expect(addressesOf(analysis.plan).size).toBe(0);
  });
});
