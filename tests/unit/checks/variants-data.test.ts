import { describe, expect, test } from 'vitest';
import { edit, FAINT, findings, one, planOf } from '../../support/variants.ts';

/** Plans of the data side that stand at the edge of a rule: addresses, ports, panels, what is left of the signal. */
describe('addresses', () => {
  const runs = (...pins: [name: string, from: string, count: number][]) => `use "bench.festoon"
${FAINT}supply psu  of bench-12 {
  output 1  fuse 15 A  cold 1 mohm
}
controller box  of board  from psu.1
${pins.map(([name, from, count]) => `run ${name}  from ${from} {\n  string ${count} px  of faint  every 10 mm\n}\n`).join('')}`;
  const said = (text: string) => findings(text, 'address-overlap').map(({ message }) => message.split(', which')[0]);

  test('a run inside another one does not end what that one has', () => {
    // Slots 1 to 480, 61 to 90 and 301 to 330.
    const text = runs(
      ['long', 'box.1  universe 1 slot 1', 160],
      ['inside', 'box.2  universe 1 slot 61', 10],
      ['late', 'box.3  universe 1 slot 301', 10],
    );
    expect(said(text)).toEqual(['inside is at universe 1 slots 61 to 90', 'late is at universe 1 slots 301 to 330']);
    for (const { message } of findings(text, 'address-overlap')) expect(message).toContain('which long has too');
  });

  test('of two that start together the longer one is told, in whichever order they stand', () => {
    const short: [string, string, number] = ['short', 'box.1  universe 1 slot 1', 10];
    const long: [string, string, number] = ['long', 'box.2  universe 1 slot 1', 20];
    for (const text of [runs(short, long), runs(long, short)])
      expect(said(text)).toEqual(['long is at universe 1 slots 1 to 60']);
  });
});

describe('what a port drives', () => {
  test('three receivers on one port: the last is told, and both others are pointed to', () => {
    const third = `receiver west  of far-two  from psu.4 {
  link from south  20 m  of pairs
}
run last  from west.1 {
  string 100 px  of tiny-12  every 5 mm
}
`;
    const found = one(planOf('checks/port-pixels/found-links').concat(third), 'port-pixels');
    expect(found.message).toContain('row and tail and last share port box.1 and have 1000 pixels together');
    expect(found.subject).toBe('last');
    expect(found.related.map(({ message }) => message)).toEqual(['row has 500.', 'tail has 400.']);
    // 1,000 px x 30 us and three pauses of 300 us.
    expect(found.message).toContain('30.90 ms on the data wire, and a frame at 40 fps lasts 25.00 ms');
  });

  test('a receiver alone on its port is told once', () => {
    const alone = edit(
      planOf('checks/port-pixels/found-links'),
      [/run tail[^}]*}\n/, ''],
      ['string 500 px', 'string 900 px'],
    );
    // 900 px x 30 us + 300 us = 27.3 ms.
    expect(one(alone, 'port-pixels').message).toContain('The 900 pixels of row take 27.30 ms');
  });

  test('links that share a port may fill a frame exactly', () => {
    // 813 px x 30 us + 2 x 305 us = 25 ms.
    const exact = (pixels: number) =>
      findings(
        edit(
          planOf('checks/port-pixels/found-links'),
          ['string 500 px', 'string 414 px'],
          ['string 400 px', `string ${pixels} px`],
          ['reset 300 us', 'reset 305 us'],
        ),
        'port-pixels',
      );
    expect(exact(399)).toEqual([]);
    expect(exact(401)).toHaveLength(1);
  });

  test('the tighter limit of receiver and controller holds, whichever has it', () => {
    const bounded = (box: number, far: number) =>
      one(
        `${edit(
          planOf('checks/port-pixels/found-links'),
          [/run tail[^}]*}\n/, ''],
          ['of data-board', 'of bounded'],
          ['north  of far-two', 'north  of bounded-far'],
        )}part controller bounded {
  ports        8
  port-pixels  ${box} px
  draws        1 mA
}
part receiver bounded-far {
  ports        2
  port-pixels  ${far} px
  port-fuse    30 A
  draws        1 mA
  link-limit   100 m
}
`,
        'port-pixels',
      ).message;
    expect(bounded(300, 400)).toContain('row has 500 pixels; a port of bounded drives 300.');
    expect(bounded(400, 300)).toContain('row has 500 pixels; a port of bounded-far drives 300.');
  });

  test('fixtures that do not fit on one line are split over as many as they need', () => {
    const line = (count: number) =>
      one(planOf('limits/links').replace('string 128 px', `string ${count} px`), 'port-pixels').message;
    // 129 x 4 = 516 slots; 256 x 4 = 1,024 are two lines; 257 x 4 = 1,028 are three.
    expect(line(129)).toContain('516 slots; a line has 512 (ANSI E1.11). Split it over 2 ports.');
    expect(line(256)).toContain('Split it over 2 ports.');
    expect(line(257)).toContain('Split it over 3 ports.');
  });

  test('a port that a link takes is exchanged only for one that is free', () => {
    const found = findings(planOf('checks/port-taken/found-none-free'), 'port-taken');
    for (const { message } of found) expect(message).not.toMatch(/undefined|is free/);
  });
});

describe('panels', () => {
  test('the rows or the scan alone keep panels from one ribbon', () => {
    const plan = planOf('checks/mixed-port/found-other-scan');
    const side = (rows: number, scan: number) =>
      findings(
        plan.replace('size    16 rows', `size    ${rows} rows`).replace('scan    8', `scan    ${scan}`),
        'mixed-port',
      );
    expect(side(32, 8)).toHaveLength(1);
    expect(findings(plan.replace('scan    16', 'scan    8'), 'mixed-port')).toHaveLength(1);
    expect(side(32, 16)).toEqual([]);
  });

  test('as many as are just quick enough are advised', () => {
    // 16 turns x 255 shifts x 64 clocks a panel are 10 ms for two at 52.224 MHz: three need two ports.
    const three = edit(
      planOf('limits/panels'),
      ['1 row x 2 columns', '1 row x 3 columns'],
      ['tap sign.front(2)', 'tap sign.front(2)\n  cable 0.5 m  of feed-14\n  tap sign.front(3)'],
    );
    expect(one(three, 'panel-refresh').message).toContain('Put at most 2 on a port (2 ports for sign)');
    // One panel takes 10 ms at 26.112 MHz, and a little more at 26.1 MHz.
    const quickest = (clock: string) =>
      one(edit(three, ['bits at 52.224 MHz', `bits at ${clock}`]), 'panel-refresh').message;
    expect(quickest('26.112 MHz')).toContain('Put at most 1 on a port (3 ports for sign)');
    expect(quickest('26.1 MHz')).toContain('Even one panel takes too long');
  });
});

describe('what is left of the data signal', () => {
  const shifted = (more: string) => planOf('checks/data-margin/found-lead').concat(more);

  test('is told of the place where least is left', () => {
    // Behind the lead comes a gap of a tenth of its length: 0.12 V are lost there, from a pixel that sends 5 V.
    const both = edit(planOf('checks/data-margin/found-lead'), [
      'string 92 px  of steady-12  every 10 mm',
      'string 1 px  of steady-12  every 10 mm\n  gap 1 m  of lead-18\n  string 91 px  of steady-12  every 10 mm',
    ]);
    expect(one(both, 'data-margin').message).toContain('Pixel 1 of long');
    const strict = both.concat('plan {\n  data-margin 1.49 V\n}\n');
    expect(one(strict, 'data-margin').message).toContain('Pixel 1 of long');
  });

  test('a shift of a tenth of a volt and more is told as the cause, a weak port where there is less', () => {
    // The port drives 3.6 V and 3.5 V are needed: 0.1 V is left without any current.
    const weak = (length: string) =>
      one(
        `${edit(
          shifted(''),
          ['of board', 'of weak-board'],
          ['lead 10 m', `lead ${length}`],
        )}part controller weak-board {
  ports      8
  port-fuse  30 A
  draws      1 mA
  drives     3.6 V
}
`,
        'data-margin',
      ).message;
    // 5.52 A through 0.5 m of 21.367 mohm/m are 59 mV, through 2 m 0.236 V.
    expect(weak('0.5 m')).toContain('Use a port or a buffer that drives 5 V');
    expect(weak('2 m')).toContain('Use a thicker lead');
  });

  test('a port that drives a volt more than is needed is not called weak', () => {
    // 3.5 V are needed, 4.6 V come; the plan wants 1.2 V left, and 59 mV are lost.
    const text = `${edit(shifted(''), ['of board', 'of fair-board'], ['lead 10 m', 'lead 0.5 m'])}part controller fair-board {
  ports      8
  port-fuse  30 A
  draws      1 mA
  drives     4.6 V
}
plan {
  data-margin 1.2 V
}
`;
    expect(one(text, 'data-margin').message).toContain('Use a thicker lead');
  });
});
