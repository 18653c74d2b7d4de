import { DATA, DMX, DRIVES, GAP_LIMIT, LINK_SPEED, LOGIC, SLOTS, UNIVERSES_LIMIT } from './data.ts';
import { amps, conductor, entry, flag, length, pixels, quantity, text, to, volts } from './entry.ts';
import { DERATE, INRUSH, LEAKAGE } from './mains.ts';
import { CABLE_PRICE, CONNECTOR_PRICE, PIXEL_PRICE, PRICE } from './prices.ts';

/** Parts: what things are made of, each with every value that enters a computation. */

export const SOURCE = entry({
  word: 'source',
  name: 'none',
  help: 'Where the values of this part come from: a datasheet, a standard, a measurement, common practice.',
  phrases: [{ key: 'text', value: text, required: true, help: 'The source in a few words.' }],
  example: 'source "maker\'s sheet, measured on the bench in October"',
});

export const NOMINAL_VOLTAGE = entry({
  word: 'voltage',
  name: 'none',
  help: 'The nominal voltage.',
  phrases: [{ key: 'volts', value: volts, required: true, help: 'Nominal voltage, direct current.' }],
  example: 'voltage 12 V',
});

export const RATED = entry({
  word: 'rated',
  name: 'none',
  help: 'The most current that each conductor or contact may carry continuously.',
  phrases: [{ key: 'amps', value: amps, required: true, help: 'Continuous current.' }],
  example: 'rated 5 A',
});

const CONDUCTOR_PHRASES = [
  { key: 'size', value: conductor, required: true, help: 'Size of one conductor: gauge or area.' },
  { key: 'clad', word: 'copper-clad', value: flag, help: 'Copper-clad aluminium instead of copper.' },
] as const;

const PART_PHRASES = [{ key: 'label', value: text, help: 'What it is called on the shelf.' }] as const;

const CHANNEL_PHRASES = [
  { key: 'amps', value: amps, required: true, help: 'Current of this colour at full brightness and nominal voltage.' },
  { key: 'knee', word: 'knee', value: volts, help: 'Supply voltage above which the current is held constant.' },
  { key: 'dark', word: 'dark', value: volts, help: 'Supply voltage at which this colour is dark.' },
  {
    key: 'resistor',
    word: 'resistor',
    value: quantity(['resistance'], 0.001, 1e6),
    help: 'Series resistor, for colours that are not regulated.',
  },
] as const;

const channel = <const C extends string>(colour: C) =>
  entry({
    word: colour,
    name: 'none',
    help: `How the ${colour} of one pixel draws current: held constant above its knee, or through a resistor.`,
    phrases: CHANNEL_PHRASES,
    example: `${colour} 18.5 mA  knee 10.4 V  dark 9.6 V`,
  });

export const PART_PIXEL = entry({
  word: 'part pixel',
  name: 'required',
  help: 'A kind of addressable pixel, with the string that it comes on.',
  phrases: PART_PHRASES,
  block: [
    NOMINAL_VOLTAGE,
    entry({
      word: 'accepts',
      name: 'none',
      help: 'The supply voltages that do no harm. Anything outside is an error.',
      phrases: [{ key: 'range', value: { type: 'range', of: 'voltage' }, required: true, help: 'From and to.' }],
      example: 'accepts 9 V to 13.5 V',
    }),
    entry({
      word: 'least',
      name: 'none',
      help: 'The least voltage at which white is still white.',
      phrases: [{ key: 'volts', value: volts, required: true, help: 'Least voltage at the pixel.' }],
      example: 'least 10.8 V',
    }),
    channel('red'),
    channel('green'),
    channel('blue'),
    channel('white'),
    entry({
      word: 'chain',
      name: 'none',
      help: 'One current through red, green and blue in series, as in pixels that bypass the colours not lit: white draws no more than one colour.',
      phrases: CHANNEL_PHRASES,
      example: 'chain 15 mA  knee 10.6 V  dark 9.4 V',
    }),
    entry({
      word: 'converter',
      name: 'none',
      help: 'A pixel whose electronics draw constant power: the current rises as the voltage falls.',
      phrases: [
        { key: 'watts', value: quantity(['power'], 1e-6, 1000), required: true, help: 'Power at full white.' },
        { key: 'lockout', word: 'lockout', value: volts, required: true, help: 'Voltage below which it shuts down.' },
      ],
      example: 'converter 0.6 W  lockout 7 V',
    }),
    entry({
      word: 'idle',
      name: 'none',
      help: 'The current of a dark pixel.',
      phrases: [{ key: 'amps', value: quantity(['current'], 0, 1), required: true, help: 'Current when dark.' }],
      example: 'idle 1 mA',
    }),
    entry({
      word: 'wire',
      name: 'none',
      help: 'The conductors of the string itself, from pixel to pixel, V+ and ground alike.',
      phrases: CONDUCTOR_PHRASES,
      example: 'wire 18 AWG',
    }),
    entry({
      word: 'joint',
      name: 'none',
      help: 'Extra resistance of each rail at each pixel: solder, crimp or trace.',
      phrases: [
        { key: 'ohms', value: quantity(['resistance'], 0, 10), required: true, help: 'Resistance per pixel and rail.' },
      ],
      example: 'joint 1 mohm',
    }),
    RATED,
    entry({
      word: 'ends',
      name: 'none',
      help: 'The connector at both ends of a string as bought. Strings that meet share one mated pair.',
      phrases: [{ key: 'connector', value: to('connector'), required: true, help: 'A connector part.' }],
      example: 'ends pigtail-3',
    }),
    DATA,
    DMX,
    SLOTS,
    GAP_LIMIT,
    LOGIC,
    PIXEL_PRICE,
    SOURCE,
  ],
  needs: ['voltage', 'wire'],
  example: `part pixel bullet-12 "12 V bullet" {
  voltage   12 V
  accepts   9 V to 13.5 V
  least     10.8 V
  red       18.5 mA  knee 7.2 V  dark 6 V
  green     18.5 mA  knee 10.4 V  dark 9.6 V
  blue      18.5 mA  knee 10.4 V  dark 9.6 V
  idle      1 mA
  wire      18 AWG
  rated     5 A
  source    "common practice"
}`,
});

export const PART_CABLE = entry({
  word: 'part cable',
  name: 'required',
  help: 'A kind of cable for leads, gaps and feeds.',
  phrases: PART_PHRASES,
  block: [
    entry({
      word: 'conductor',
      name: 'none',
      help: 'The size of each power conductor.',
      phrases: CONDUCTOR_PHRASES,
      example: 'conductor 14 AWG',
    }),
    entry({
      word: 'carries',
      name: 'none',
      help: 'What the conductors are for.',
      phrases: [
        {
          key: 'cores',
          value: { type: 'choices', of: ['V+', 'ground', 'data', 'line', 'neutral', 'earth'] },
          required: true,
          help: 'V+, ground, data; or line, neutral, earth for a mains cord.',
        },
      ],
      example: 'carries V+ ground data',
    }),
    RATED,
    CABLE_PRICE,
    SOURCE,
  ],
  needs: ['conductor', 'carries'],
  example: `part cable two-core-14 "two-core 14 AWG" {
  conductor 14 AWG
  carries   V+ ground
  rated     15 A
}`,
});

export const PART_CONNECTOR = entry({
  word: 'part connector',
  name: 'required',
  help: 'A kind of connector or splice.',
  phrases: PART_PHRASES,
  block: [
    RATED,
    entry({
      word: 'contact',
      name: 'none',
      help: 'Resistance of one mated contact. 0 mohm is an ideal contact, for comparison.',
      phrases: [
        { key: 'ohms', value: quantity(['resistance'], 0, 10), required: true, help: 'Resistance of a contact.' },
      ],
      example: 'contact 10 mohm',
    }),
    CONNECTOR_PRICE,
    SOURCE,
  ],
  needs: ['rated', 'contact'],
  example: `part connector pigtail-3 "small 3-core waterproof connector" {
  rated   4 A
  contact 10 mohm
}`,
});

export const PART_SUPPLY = entry({
  word: 'part supply',
  name: 'required',
  help: 'A kind of power supply.',
  phrases: PART_PHRASES,
  block: [
    NOMINAL_VOLTAGE,
    entry({
      word: 'adjust',
      name: 'none',
      help: 'The range of its trimmer.',
      phrases: [{ key: 'range', value: { type: 'range', of: 'voltage' }, required: true, help: 'From and to.' }],
      example: 'adjust 10.8 V to 13.2 V',
    }),
    RATED,
    entry({
      word: 'power',
      name: 'none',
      help: 'Its rated power.',
      phrases: [{ key: 'watts', value: quantity(['power'], 0.1, 10000), required: true, help: 'Rated output power.' }],
      example: 'power 350 W',
    }),
    entry({
      word: 'droop',
      name: 'none',
      help: 'Output resistance: how far the voltage falls per ampere.',
      phrases: [{ key: 'ohms', value: quantity(['resistance'], 0, 10), required: true, help: 'Volts per ampere.' }],
      example: 'droop 2 mohm',
    }),
    entry({
      word: 'efficiency',
      name: 'none',
      help: 'Output power as a share of input power.',
      phrases: [{ key: 'share', value: quantity(['share'], 0.01, 1), required: true, help: 'At full load.' }],
      example: 'efficiency 85 %',
    }),
    entry({
      word: 'power-factor',
      name: 'none',
      help: 'Power factor of the input.',
      phrases: [{ key: 'share', value: quantity(['share'], 0.1, 1), required: true, help: 'At full load.' }],
      example: 'power-factor 55 %',
    }),
    INRUSH,
    LEAKAGE,
    DERATE,
    PRICE,
    SOURCE,
  ],
  needs: ['voltage', 'rated'],
  example: `part supply enclosed-12v-350w "enclosed 12 V 350 W supply" {
  voltage      12 V
  adjust       10.8 V to 13.2 V
  rated        29 A
  power        350 W
  efficiency   85 %
}`,
});

export const PART_CONTROLLER = entry({
  word: 'part controller',
  name: 'required',
  help: 'A kind of controller board with pixel outputs (ports).',
  phrases: PART_PHRASES,
  block: [
    entry({
      word: 'ports',
      name: 'none',
      help: 'How many pixel outputs it has.',
      phrases: [
        { key: 'count', value: { type: 'whole', least: 1, most: 512 }, required: true, help: 'Number of ports.' },
      ],
      example: 'ports 16',
    }),
    entry({
      word: 'port-pixels',
      name: 'none',
      help: 'The most pixels that one port can drive.',
      phrases: [{ key: 'count', value: pixels, required: true, help: 'Pixels per port.' }],
      example: 'port-pixels 1000 px',
    }),
    entry({
      word: 'port-fuse',
      name: 'none',
      help: 'Each port passes V+ on to its run through a fuse. Without this line the ports carry data and ground only.',
      phrases: [{ key: 'amps', value: amps, required: true, help: 'Rating of the fuse in each port.' }],
      example: 'port-fuse 4 A',
    }),
    entry({
      word: 'draws',
      name: 'none',
      help: 'What the board itself draws from its power input.',
      phrases: [{ key: 'amps', value: amps, required: true, help: 'Current of the board.' }],
      example: 'draws 0.5 A',
    }),
    entry({
      word: 'accepts',
      name: 'none',
      help: 'The input voltages that do no harm.',
      phrases: [{ key: 'range', value: { type: 'range', of: 'voltage' }, required: true, help: 'From and to.' }],
      example: 'accepts 5 V to 24 V',
    }),
    entry({
      word: 'lead-limit',
      name: 'none',
      help: 'How far raw data reaches from a port to the first pixel.',
      phrases: [{ key: 'length', value: length, required: true, help: 'Longest lead.' }],
      example: 'lead-limit 10 m',
    }),
    DRIVES,
    UNIVERSES_LIMIT,
    LINK_SPEED,
    PRICE,
    SOURCE,
  ],
  needs: ['ports'],
  example: `part controller sixteen-port "16-port controller" {
  ports       16
  port-pixels 1000 px
  port-fuse   4 A
  draws       0.5 A
  accepts     5 V to 24 V
  lead-limit  10 m
}`,
});
