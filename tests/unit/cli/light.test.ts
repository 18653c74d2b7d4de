import { describe, expect, it } from 'vitest';
import { encodeDataPacket } from '#server/cli/light/data-packet.ts';
import type { Transmission } from '#server/cli/light/transmission.ts';
import { festoon, SMALL } from './console.ts';

/*
 * A data packet written by hand from the tables of ANSI E1.31-2018 (4.1, 5, 6 and 7; from memory): the root layer of
 * ANSI E1.17, the framing layer, the property layer, 638 octets in all. tests/unit/cli/light-on-the-wire.test.ts has a
 * general protocol analyser read what is sent.
 */
const BY_HAND = [
  '0010', // preamble size
  '0000', // postamble size
  '4153432d45312e3137000000', // "ASC-E1.17"
  '726e', // flags 7, 622 octets from here to the end
  '00000004', // root layer: data of E1.31
  '000102030405060708090a0b0c0d0e0f', // the sender
  '7258', // flags 7, 600 octets
  '00000002', // framing layer: a data packet
  `46657374 6f6f6e${'00'.repeat(57)}`, // "Festoon", 64 octets
  '64', // priority 100
  '0000', // not synchronized
  '07', // sequence
  '00', // options: none; 40 says that the stream ends
  '0103', // universe 259
  '720b', // flags 7, 523 octets
  '02', // set property
  'a1', // addresses and data: a range of octets
  '0000', // first address
  '0001', // step
  '0201', // 513 values: start code and 512 slots
  '00', // start code
  `102030${'00'.repeat(508)}ff`,
]
  .join('')
  .replaceAll(' ', '');

describe('a data packet', () => {
  const packet = {
    cid: Uint8Array.from({ length: 16 }, (_, index) => index),
    sourceName: 'Festoon',
    priority: 100,
    sequence: 7,
    terminated: false,
    universe: 259,
    slots: Uint8Array.from({ length: 512 }, (_, index) => [0x10, 0x20, 0x30][index] ?? (index === 511 ? 0xff : 0)),
  };
  const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');

  it('is the one written by hand from the standard', () => {
    expect(BY_HAND.length).toBe(2 * 638);
    expect(hex(encodeDataPacket(packet))).toBe(BY_HAND);
  });

  it('says in its options that the stream ends', () => {
    expect(hex(encodeDataPacket({ ...packet, terminated: true })).slice(2 * 112, 2 * 113)).toBe('40');
  });

  it('keeps the last octet of a long name empty and splits no character', () => {
    const name = encodeDataPacket({ ...packet, sourceName: `${'x'.repeat(62)}ü` }).subarray(44, 108);
    expect(hex(name)).toBe(`${'78'.repeat(62)}0000`);
  });
});

/** What a command line would send, and what it says. */
function light(plan: string, ...args: string[]) {
  let sent: Transmission | undefined;
  const outcome = festoon(['light', 'plan.festoon', ...args], {
    files: { '/plans/plan.festoon': plan },
    transmit: (transmission) => {
      sent = transmission;
    },
  });
  return { ...outcome, sent };
}

const TO = ['--to', '192.0.2.10'];

/** The lit slots at some time as "universe.slot=level". */
function litAt(sent: Transmission | undefined, seconds = 0): string[] {
  return [...(sent?.frame(seconds).universes ?? [])].flatMap(([universe, slots]) =>
    [...slots].flatMap((level, index) => (level === 0 ? [] : [`${universe}.${index + 1}=${level}`])),
  );
}

/** 171 px behind which the porch starts in universe 2, slot 4 (170 px of 3 slots fill a universe to slot 510). */
const TWO = SMALL.replace(
  'run porch-edge',
  `prop star {
  star point  2 px  of bullet  every 100 mm
}
run long  from box.2 {
  string 171 px  of bullet  every 100 mm
  null 1 px  of bullet
  copies stars  2  of star  gap 1 m  through pair
}
run porch-edge`,
);

describe('festoon light', () => {
  it('lights a prop as a whole, no pixel of it', () => {
    const { exit, err } = light(TWO, 'star[1]', ...TO);
    expect(exit).toBe(2);
    expect(err).toContain('a prop is lit as a whole: star');
  });

  it('sends nothing without an address', () => {
    const { exit, err, sent } = light(SMALL, 'porch-edge');
    expect({ exit, sent }).toEqual({ exit: 2, sent: undefined });
    expect(err).toContain('say where to send it');
  });

  it('lights the slots of the addresses that the plan has, a fifth bright', () => {
    const { sent, exit, out } = light(SMALL, 'porch-edge.edge[2]', ...TO);
    // Pixel 2 takes slots 4 to 6. 20 % of 255 is 51. 60 mA x 0.2 = 12 mA.
    expect(litAt(sent)).toEqual(['1.4=51', '1.5=51', '1.6=51']);
    expect(exit).toBe(0);
    expect(out).toContain('porch-edge.edge[2], 1 pixel, white at 20 %.');
    expect(out).toContain('It draws about 12 mA.');
    expect(out).toContain('Fuse every feed at the supply end.');
    expect([sent?.address, sent?.port, sent?.rate, sent?.seconds, sent?.priority]).toEqual([
      '192.0.2.10',
      5568,
      20,
      60,
      100,
    ]);
  });

  it.each([
    ['long[171]', '--colour', 'green', ['2.2=51']],
    // The dark pixel takes no slot: pixel 173, the first of the stars, follows pixel 171.
    ['long.stars(1)', '--colour', 'red', ['2.4=51', '2.7=51']],
    ['star', '--colour', 'blue', ['2.6=51', '2.9=51', '2.12=51', '2.15=51']],
    ['porch-edge.end', '--level', '100 %', ['2.43=255', '2.44=255', '2.45=255']],
  ])('%s %s %s', (what, option, value, lit) => {
    expect(litAt(light(TWO, what, option, value, ...TO).sent)).toEqual(lit);
  });

  it('lights a panel as a whole, and tells what of its amps that is', () => {
    // 2 x 4 pixels of three slots are 24 slots a panel, behind the 30 of the porch; a fifth of 0.8 A are 160 mA.
    const plan = `${SMALL}part panel tile {
  voltage 5 V
  size    2 rows x 4 columns
  draws   0.8 A  knee 4 V  dark 3 V
  idle    0 mA
  scan    1
  data    8 bits at 20 MHz
}
run sign  from box.2 {
  panels 1 rows x 2 columns  of tile
}
`;
    const { sent, out } = light(plan, 'sign[2]', ...TO);
    expect(litAt(sent)).toEqual(Array.from({ length: 24 }, (_, index) => `1.${55 + index}=51`));
    expect(out).toContain('They draw about 160 mA.');
    expect(litAt(light(plan, 'sign', ...TO).sent)).toHaveLength(48);
  });

  it('tells the amps of a converter: all of its watts at full white, a third of them for one colour', () => {
    // 0.72 W at 12 V are 60 mA, a fifth of that 12 mA.
    const plan = `${SMALL}part pixel steady {
  voltage   12 V
  converter 0.72 W  lockout 5 V
  idle      0 mA
  wire      18 AWG
}
run far  from box.2 {
  string 1 px  of steady  every 100 mm
}
`;
    expect(light(plan, 'far', ...TO).out).toContain('It draws about 12 mA.');
    expect(light(plan, 'far', '--colour', 'red', ...TO).out).toContain('It draws about 4 mA.');
  });

  it('names eight universes at most', () => {
    // 170 px of three slots fill one: 1,500 px need nine.
    const plan = `${SMALL}run far  from box.2 {\n  string 1500 px  of bullet  every 10 mm\n}\n`;
    expect(light(plan, 'far', ...TO).out.replace(/\s+/g, ' ')).toMatch(/Universes (?:\d+, ){7}\d+ and 1 more/);
  });

  it('counts along, one pixel for each step, and says which', () => {
    const { sent } = light(SMALL, 'porch-edge', '--count', '--step', '2', '--colour', 'red', ...TO);
    expect(litAt(sent, 0)).toEqual(['1.1=51']);
    expect(litAt(sent, 3.9)).toEqual(['1.4=51']);
    expect(sent?.frame(3.9).says).toBe('porch-edge[2]');
    // Ten pixels: after 20 s it begins again.
    expect(litAt(sent, 20)).toEqual(['1.1=51']);
  });

  it('does not go beyond what the plan is designed for', () => {
    // Designed for a tenth, less than the usual 20 %: 255 x 0.1 = 25.5, cut to 25.
    const plan = SMALL.replace('frame-rate 40 fps', 'design-for full-white at 10 %');
    expect(litAt(light(plan, 'porch-edge[1]', ...TO).sent)).toEqual(['1.1=25', '1.2=25', '1.3=25']);
    const { exit, err, sent } = light(plan, 'porch-edge', '--level', '20 %', ...TO);
    expect({ exit, sent }).toEqual({ exit: 2, sent: undefined });
    expect(err).toContain('at most 10 %');
  });

  it.each([
    [['porch-edge', '--to', 'controller.local'], 'IPv4 address'],
    [['porch-edge', '--to', '192.0.2.300'], 'IPv4 address'],
    [['porch-edge', '--to', '255.255.255.255'], 'no address of one controller'],
    [['porch-edge', '--to', '0.0.0.0'], 'no address of one controller'],
    [['porch-edge', '--to', '239.255.0.2'], 'That of universe 1 is 239.255.0.1.'],
    [['porch-edge', '--rate', '45', ...TO], '--rate is a number from 1 to 44'],
    [['porch-edge', '--rate', '', ...TO], '--rate is a number'],
    [['porch-edge', '--for', '1e9', ...TO], '--for is a number'],
    [['porch-edge', '--level', '0 %', ...TO], '--level is a share'],
    [['porch-edge', '--level', '0.2', ...TO], '--level is a share from 1 % to 100 %'],
    [['porch-edge[1.5]', ...TO], 'There is no pixel 1.5'],
    [['porch-edge', '--colour', 'pink', ...TO], '--colour is one of'],
    [['porch-edge[11]', ...TO], 'There is no pixel 11'],
    [['porch-edge', '--level', '', ...TO], '--level is a share'],
    [['porch-eggs', ...TO], 'Did you mean "porch-edge"?'],
    [['porch-edge at', ...TO], 'names nothing to light'],
    [['', ...TO], 'names nothing to light'],
    [['porch-edge[1', ...TO], 'names nothing to light'],
    [[...TO], 'what to light'],
  ])('refuses %j', (args, reason) => {
    const { exit, err, sent } = light(SMALL, ...args);
    expect({ exit, sent }).toEqual({ exit: 2, sent: undefined });
    expect(err).toContain(reason);
  });

  it('takes the multicast address of its universe, and another port', () => {
    expect(light(SMALL, 'porch-edge', '--to', '239.255.0.1').sent?.address).toBe('239.255.0.1');
    expect(light(SMALL, 'porch-edge', '--to', '192.0.2.10:6000').sent?.port).toBe(6000);
    expect(light(TWO, 'long', '--to', '239.255.0.1').err).toContain('more than one universe');
  });

  it('lights a pixel of one slot whatever colour is asked for', () => {
    const plan = SMALL.replace('  idle    0 mA', '  idle    0 mA\n  slots   1');
    for (const colour of ['white', 'red', 'blue'])
      expect(litAt(light(plan, 'porch-edge[2]', '--colour', colour, ...TO).sent)).toEqual(['1.2=51']);
  });

  it('lights a prop where it has an address, and leaves out where it has none', () => {
    const hung = TWO.concat('run loose {\n  copies stars  1  of star\n}\n');
    expect(litAt(light(hung, 'star', ...TO).sent)).toEqual(litAt(light(TWO, 'star', ...TO).sent));
    expect(light(hung, 'loose', ...TO).err).toContain('loose has no pixels with an address');
  });

  it('finds nothing to light in a run without pixels', () => {
    expect(light(`${SMALL}run bare  from box.2 {\n}\n`, 'bare', ...TO).err).toContain('bare has no pixels.');
  });

  it('finds nothing to light in floods', () => {
    const plan = `${SMALL}
part flood spot {
  voltage 12 V
  draws   1 A
}
flood wash  2  of spot`;
    expect(light(plan, 'wash', ...TO).err).toContain('floods have no data');
  });
});
