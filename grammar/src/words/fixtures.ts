import { amps, conductor, entry, length, quantity, text, to, volts } from './entry.ts';
import { NOMINAL_VOLTAGE, RATED, SOURCE } from './parts.ts';
import { PRICE } from './prices.ts';

/** Loads that stand alone on their own power cord: multiplexed panels and plain floods. */

const LABEL = [{ key: 'label', value: text, help: 'What it is called on the shelf.' }] as const;

const ACCEPTS = entry({
  word: 'accepts',
  name: 'none',
  help: 'The supply voltages that do no harm. Without this line: up to 15 % over nominal (common practice).',
  phrases: [{ key: 'range', value: { type: 'range', of: 'voltage' }, required: true, help: 'From and to.' }],
  example: 'accepts 4.5 V to 5.5 V',
});

const LEAST = entry({
  word: 'least',
  name: 'none',
  help: 'The least voltage at which it shows its full light. Without this line: 90 % of nominal (common practice).',
  phrases: [{ key: 'volts', value: volts, required: true, help: 'Least voltage behind its cord.' }],
  example: 'least 4.6 V',
});

const DRAWS = <const H extends string>(help: H) =>
  entry({
    word: 'draws',
    name: 'none',
    help,
    phrases: [
      { key: 'amps', value: amps, required: true, help: 'Current of the whole, all white, idle current included.' },
      {
        key: 'knee',
        word: 'knee',
        value: volts,
        help: 'Voltage above which the current is held constant.',
        standard: { text: '85 % of nominal', source: 'common practice' },
      },
      {
        key: 'dark',
        word: 'dark',
        value: volts,
        help: 'Voltage at which it is dark.',
        standard: { text: '5 % of nominal under the knee', source: 'common practice' },
      },
    ],
    example: 'draws 4 A  knee 4 V  dark 3 V',
  });

const IDLE = entry({
  word: 'idle',
  name: 'none',
  help: 'The current when all is dark. Without this line: 1 mA.',
  phrases: [{ key: 'amps', value: quantity(['current'], 0, 100), required: true, help: 'Current when dark.' }],
  example: 'idle 0.1 A',
});

const CORD = entry({
  word: 'cord',
  name: 'none',
  help: 'Its own power cord, V+ and ground alike, from the plug to the load. Without this line: 0.3 m of 18 AWG (common practice).',
  phrases: [
    { key: 'length', value: length, required: true, help: 'Length of the cord.' },
    {
      key: 'size',
      word: 'of',
      tight: true,
      value: conductor,
      required: true,
      help: 'Size of one conductor: gauge or area.',
    },
  ],
  example: 'cord 0.3 m of 18 AWG',
});

const PLUG = entry({
  word: 'plug',
  name: 'none',
  help: 'The connector at the end of its cord, where a feed is tapped in.',
  phrases: [{ key: 'connector', value: to('connector'), required: true, help: 'A connector part.' }],
  example: 'plug blade',
});

export const PART_PANEL = entry({
  word: 'part panel',
  name: 'required',
  help: 'A kind of multiplexed LED panel: rows lit in turn, data by ribbon, power by a cord of its own.',
  phrases: LABEL,
  block: [
    NOMINAL_VOLTAGE,
    ACCEPTS,
    LEAST,
    entry({
      word: 'size',
      name: 'none',
      help: 'How many pixels it has.',
      phrases: [
        { key: 'rows', value: quantity(['rows'], 1, 1024), required: true, help: 'Rows of pixels.' },
        {
          key: 'columns',
          word: 'x',
          tight: true,
          value: quantity(['columns'], 1, 4096),
          required: true,
          help: 'Pixels in a row.',
        },
      ],
      example: 'size 32 rows x 64 columns',
    }),
    DRAWS('What it draws all white. One colour alone draws a third of what is beyond idle (common practice).'),
    IDLE,
    entry({
      word: 'scan',
      name: 'none',
      help: 'In how many turns its rows are lit: 16 for a panel that is sold as 1/16 scan.',
      phrases: [{ key: 'turns', value: { type: 'whole', least: 1, most: 128 }, required: true, help: 'Turns.' }],
      example: 'scan 16',
    }),
    entry({
      word: 'data',
      name: 'none',
      help: 'How its brightness is made: binary-coded modulation, one bit plane after the other.',
      phrases: [
        { key: 'bits', value: quantity(['bits'], 1, 16), required: true, help: 'Bits for each colour.' },
        {
          key: 'rate',
          word: 'at',
          tight: true,
          value: quantity(['rate'], 1000, 1e8),
          required: true,
          help: 'Clock of the ribbon.',
        },
        {
          key: 'shortened',
          word: 'shortened',
          value: { type: 'whole', least: 0, most: 15 },
          help: 'How many of the lightest bit planes are blanked early instead of making all others longer.',
          standard: { text: '0', source: 'plain binary-coded modulation' },
        },
      ],
      example: 'data 8 bits at 20 MHz  shortened 4',
    }),
    entry({
      word: 'refresh',
      name: 'none',
      help: 'The least rate at which the whole picture is to be shown again. Without this line: 100 Hz (common practice: below it people see flicker).',
      phrases: [{ key: 'rate', value: quantity(['rate'], 1, 10000), required: true, help: 'Least refresh rate.' }],
      example: 'refresh 100 Hz',
    }),
    CORD,
    PLUG,
    RATED,
    PRICE,
    SOURCE,
  ],
  needs: ['voltage', 'size', 'draws', 'scan', 'data'],
  example: `part panel p5-64x32 "64 x 32 panel, 5 V" {
  voltage 5 V
  accepts 4.5 V to 5.5 V
  least   4.6 V
  size    32 rows x 64 columns
  draws   4 A  knee 4 V  dark 3 V
  idle    0.1 A
  scan    16
  data    8 bits at 20 MHz  shortened 4
  cord    0.3 m of 18 AWG
  rated   7 A
}`,
});

export const PART_FLOOD = entry({
  word: 'part flood',
  name: 'required',
  help: 'A kind of plain low-voltage flood: white, without data, full on at any look and brightness.',
  phrases: LABEL,
  block: [
    NOMINAL_VOLTAGE,
    ACCEPTS,
    LEAST,
    entry({
      word: 'power',
      name: 'none',
      help: 'A flood with a converter draws constant power: its current rises as its voltage falls.',
      phrases: [
        { key: 'watts', value: quantity(['power'], 0.01, 5000), required: true, help: 'Power.' },
        { key: 'lockout', word: 'lockout', value: volts, required: true, help: 'Voltage below which it shuts down.' },
      ],
      example: 'power 30 W  lockout 18 V',
    }),
    DRAWS('A flood without a converter: the current that it holds.'),
    IDLE,
    CORD,
    PLUG,
    RATED,
    PRICE,
    SOURCE,
  ],
  needs: ['voltage'],
  example: `part flood flood-24-30w "24 V 30 W flood" {
  voltage 24 V
  accepts 20 V to 28 V
  least   21 V
  power   30 W  lockout 18 V
  cord    1 m of 18 AWG
}`,
});

/** Panels on the ribbon of a port. */
export const PANELS = entry({
  word: 'panels',
  name: 'optional',
  help: 'Multiplexed panels on one ribbon, numbered along the data: sign.front(3) is the plug of the third. V+ does not go from panel to panel; every panel is fed.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls them.' },
    { key: 'rows', value: quantity(['rows'], 1, 256), required: true, help: 'Rows of panels.' },
    {
      key: 'columns',
      word: 'x',
      tight: true,
      value: quantity(['columns'], 1, 1024),
      required: true,
      help: 'Panels in a row.',
    },
    { key: 'part', word: 'of', value: to('panel'), required: true, help: 'A panel part.' },
    {
      key: 'ribbon',
      word: 'ribbon',
      value: length,
      help: 'Length of the ribbon from one panel to the next.',
      standard: { text: '0.3 m', source: 'common practice' },
    },
    {
      key: 'cable',
      word: 'through',
      value: to('cable'),
      help: 'The cable part of the ribbon: ground and data.',
      standard: { text: 'a 16-core ribbon, three 28 AWG grounds, 3 A', source: 'common practice, from memory' },
    },
  ],
  example: 'panels front  2 rows x 4 columns  of p5-64x32',
});

export const FLOOD = entry({
  word: 'flood',
  name: 'required',
  help: 'Plain floods, each on its own cord. Feeds reach them by number: wash(1).',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls them.' },
    { key: 'count', value: { type: 'whole', least: 1, most: 1000 }, required: true, help: 'How many.' },
    { key: 'part', word: 'of', value: to('flood'), required: true, help: 'A flood part.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where they stand.' },
  ],
  example: 'flood wash "wall wash"  4  of flood-24-30w  at wall',
});
