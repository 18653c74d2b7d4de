import type { Dimension } from './units.ts';

/**
 * The words of the language: one table from which binding, completion, hover help, the reference page and the
 * syntax colours are derived. To add a statement, add an entry here; to give it a meaning, read its fields in the
 * server's model.
 */

/** What a value after a phrase's word may be. Limits are in SI units and mark what cannot be real. */
export type Value =
  | { readonly type: 'quantity'; readonly of: readonly Dimension[]; readonly least?: number; readonly most?: number }
  | { readonly type: 'whole'; readonly least: number; readonly most: number }
  | { readonly type: 'range'; readonly of: Dimension; readonly least?: number; readonly most?: number }
  | { readonly type: 'reference'; readonly to: readonly Kind[] }
  | { readonly type: 'path' }
  | { readonly type: 'choice'; readonly of: readonly string[] }
  | { readonly type: 'choices'; readonly of: readonly string[] }
  | { readonly type: 'flag' }
  | { readonly type: 'text' };

/** What a name can stand for. */
export type Kind =
  | 'place'
  | 'pixel'
  | 'cable'
  | 'connector'
  | 'supply-part'
  | 'controller-part'
  | 'circuit'
  | 'supply'
  | 'output'
  | 'controller'
  | 'port'
  | 'prop'
  | 'run'
  | 'tap'
  | 'feed'
  | 'bond';

export interface Phrase {
  /** The field that the value becomes. */
  readonly key: string;
  /** The word that leads the phrase; without one the value is known by its own kind. */
  readonly word?: string;
  readonly value: Value;
  readonly required?: boolean;
  /** Belongs to what stands before it: the formatter keeps it close. */
  readonly tight?: boolean;
  readonly help: string;
  /** What holds when the phrase is absent, as it would be written, and why. */
  readonly standard?: Standard;
}

export interface Standard {
  readonly text: string;
  readonly source: string;
}

export interface Entry {
  /** The keyword, or for parts the two words. */
  readonly word: string;
  readonly name: 'required' | 'optional' | 'none';
  readonly help: string;
  readonly phrases: readonly Phrase[];
  readonly block?: readonly Entry[];
  /** At least these lines must stand in the block. */
  readonly needs?: readonly string[];
  /** Lines that may stand only once in the block are all but these. */
  readonly repeats?: readonly string[];
  readonly example: string;
}

/** Keeps the literal types of an entry, so that its fields are typed where they are read. */
function entry<const E extends Entry>(value: E): E {
  return value;
}

const quantity = <const D extends readonly Dimension[]>(of: D, least?: number, most?: number) => ({
  type: 'quantity' as const,
  of,
  ...(least === undefined ? {} : { least }),
  ...(most === undefined ? {} : { most }),
});
const length = quantity(['length'], 0.0001, 2000);
const volts = quantity(['voltage'], 0.1, 60);
const amps = quantity(['current'], 1e-6, 500);
const conductor = quantity(['gauge', 'area']);
const pixels = quantity(['pixels'], 1, 1_000_000);
const to = <const K extends readonly Kind[]>(...kinds: K) => ({ type: 'reference' as const, to: kinds });
const flag = { type: 'flag' as const };
const text = { type: 'text' as const };
const path = { type: 'path' as const };

/* Lines that stand in several blocks. */

const SOURCE = entry({
  word: 'source',
  name: 'none',
  help: 'Where the values of this part come from: a datasheet, a standard, a measurement, common practice.',
  phrases: [{ key: 'text', value: text, required: true, help: 'The source in a few words.' }],
  example: 'source "maker\'s sheet, measured on the bench in October"',
});

const NOMINAL_VOLTAGE = entry({
  word: 'voltage',
  name: 'none',
  help: 'The nominal voltage.',
  phrases: [{ key: 'volts', value: volts, required: true, help: 'Nominal voltage, direct current.' }],
  example: 'voltage 12 V',
});

const RATED = entry({
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

/* Parts. */

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
    entry({
      word: 'data',
      name: 'none',
      help: 'Time that one pixel takes on the data wire.',
      phrases: [
        { key: 'bits', value: quantity(['bits'], 1, 512), required: true, help: 'Bits per pixel.' },
        {
          key: 'rate',
          word: 'at',
          tight: true,
          value: quantity(['rate'], 1000, 1e8),
          required: true,
          help: 'Bits per second, in kHz.',
        },
        {
          key: 'reset',
          word: 'reset',
          value: quantity(['time'], 1e-6, 0.1),
          required: true,
          help: 'Pause that ends a frame.',
        },
      ],
      example: 'data 24 bits at 800 kHz reset 280 us',
    }),
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
          value: { type: 'choices', of: ['V+', 'ground', 'data'] },
          required: true,
          help: 'V+, ground, data.',
        },
      ],
      example: 'carries V+ ground data',
    }),
    RATED,
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
      help: 'Resistance of one mated contact.',
      phrases: [{ key: 'ohms', value: quantity(['resistance'], 1e-6, 10), required: true, help: 'Per contact.' }],
      example: 'contact 10 mohm',
    }),
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

/* The plan and its places. */

export const PLAN = entry({
  word: 'plan',
  name: 'none',
  help: 'The display as a whole: its title and what it is designed for.',
  phrases: [{ key: 'title', value: text, help: 'The title of the display.' }],
  block: [
    entry({
      word: 'frame-rate',
      name: 'none',
      help: 'Frames a second that every port must keep up with.',
      phrases: [{ key: 'rate', value: quantity(['rate'], 1, 1000), required: true, help: 'Frames a second.' }],
      example: 'frame-rate 40 fps',
    }),
    entry({
      word: 'air',
      name: 'none',
      help: 'Air temperatures of the season. Copper is computed at the warmer end, where it resists most.',
      phrases: [
        {
          key: 'range',
          value: { type: 'range', of: 'temperature', least: -60, most: 80 },
          required: true,
          help: 'Coldest to warmest.',
        },
      ],
      example: 'air -10 degC to 30 degC',
    }),
    entry({
      word: 'design-for',
      name: 'none',
      help: 'The look that every wire and fuse must carry.',
      phrases: [
        {
          key: 'look',
          value: { type: 'choice', of: ['full-white', 'red', 'green', 'blue'] },
          required: true,
          help: 'A look.',
        },
        {
          key: 'share',
          word: 'at',
          tight: true,
          value: quantity(['share'], 0.01, 1),
          help: 'Brightness.',
          standard: { text: '100 %', source: 'common practice: wiring is sized for full white' },
        },
      ],
      example: 'design-for full-white at 100 %',
    }),
    entry({
      word: 'load-supplies',
      name: 'none',
      help: 'The share of its rating to which a supply is loaded.',
      phrases: [{ key: 'share', value: quantity(['share'], 0.05, 1), required: true, help: 'Share of the rating.' }],
      example: 'load-supplies 80 %',
    }),
    entry({
      word: 'load-fuses',
      name: 'none',
      help: 'The share of its rating to which a fuse is loaded.',
      phrases: [{ key: 'share', value: quantity(['share'], 0.05, 1), required: true, help: 'Share of the rating.' }],
      example: 'load-fuses 80 %',
    }),
    entry({
      word: 'tolerance',
      name: 'none',
      help: 'How far real supplies and pixels may stray. With it every check looks at all corners: supplies low and high, pixels drawing less and more, air cold and warm.',
      phrases: [
        { key: 'supplies', word: 'supplies', value: quantity(['share'], 0, 0.2), help: 'Set voltage, up or down.' },
        { key: 'pixels', word: 'pixels', value: quantity(['share'], 0, 0.5), help: 'Current of a pixel, up or down.' },
      ],
      example: 'tolerance supplies 1 %  pixels 5 %',
    }),
    entry({
      word: 'slack',
      name: 'none',
      help: 'Extra length at each end of a cable laid along a route, drip loop included.',
      phrases: [{ key: 'length', value: length, required: true, help: 'Length at each end.' }],
      example: 'slack 0.5 m',
    }),
  ],
  example: `plan "Boathouse winter lights" {
  frame-rate    40 fps
  air           -10 degC to 30 degC
  design-for    full-white at 100 %
}`,
});

export const USE = entry({
  word: 'use',
  name: 'none',
  help: 'Takes in the declarations of another file, found beside this one.',
  phrases: [{ key: 'file', value: text, required: true, help: 'Path of the file, relative to this one.' }],
  example: 'use "parts/stock.festoon"',
});

export const PLACE = entry({
  word: 'place',
  name: 'required',
  help: 'Somewhere that things stand: a shed, a roof, a wall.',
  phrases: [{ key: 'label', value: text, help: 'What the crew calls it.' }],
  example: 'place shed "Tool shed"',
});

export const ROUTE = entry({
  word: 'route',
  name: 'none',
  help: 'A way that cables can go between two places.',
  phrases: [
    { key: 'path', value: path, required: true, help: 'From one place to another.' },
    { key: 'length', value: length, required: true, help: 'Length of the way.' },
    { key: 'limit', word: 'limit', value: quantity(['cables'], 0, 1000), help: 'The most cables that should pass.' },
  ],
  example: 'route shed to roof  14 m  limit 4 cables',
});

/* Power and data. */

export const CIRCUIT = entry({
  word: 'circuit',
  name: 'required',
  help: 'A mains circuit from the breaker. Mains work is for a licensed electrician and local codes.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'amps', value: amps, required: true, help: 'Rating of the breaker.' },
    { key: 'volts', value: quantity(['voltage'], 90, 260), required: true, help: 'Mains voltage.' },
    {
      key: 'residual',
      word: 'residual-current',
      value: quantity(['current'], 0.001, 1),
      help: 'Trip current of the residual-current device.',
    },
    { key: 'place', word: 'at', value: to('place'), help: 'Where the socket is.' },
  ],
  example: 'circuit garden  15 A  120 V  residual-current 5 mA  at shed',
});

const OUTPUT_PHRASES = [
  { key: 'number', value: { type: 'whole', least: 1, most: 64 }, required: true, help: 'Number of the output.' },
  { key: 'fuse', word: 'fuse', value: amps, help: 'Rating of its fuse.' },
  {
    key: 'ohms',
    word: 'cold',
    value: quantity(['resistance'], 1e-6, 1),
    help: 'Cold resistance of the fuse.',
    standard: { text: 'by rating', source: "blade fuse makers' sheets, from memory (7.7 mohm at 10 A is published)" },
  },
] as const;

export const SUPPLY = entry({
  word: 'supply',
  name: 'required',
  help: 'A power supply with its fused outputs.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'part', word: 'of', value: to('supply-part'), required: true, help: 'A supply part.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where it stands.' },
    { key: 'circuit', word: 'on', value: to('circuit'), help: 'The mains circuit that it is plugged into.' },
  ],
  block: [
    entry({
      word: 'set',
      name: 'none',
      help: 'The voltage to which its trimmer is set.',
      phrases: [{ key: 'volts', value: volts, required: true, help: 'Set voltage, measured without load.' }],
      example: 'set 12.4 V',
    }),
    entry({
      word: 'output',
      name: 'none',
      help: 'A fused output of the supply or of its distribution board.',
      phrases: OUTPUT_PHRASES,
      example: 'output 1  fuse 5 A',
    }),
    entry({
      word: 'outputs',
      name: 'none',
      help: 'Several outputs that are alike.',
      phrases: [
        { key: 'from', value: { type: 'whole', least: 1, most: 64 }, required: true, help: 'First output.' },
        {
          key: 'to',
          word: 'to',
          tight: true,
          value: { type: 'whole', least: 1, most: 64 },
          required: true,
          help: 'Last output.',
        },
        { key: 'fuse', word: 'fuse', value: amps, help: 'Rating of each fuse.' },
      ],
      example: 'outputs 2 to 6  fuse 7.5 A',
    }),
  ],
  repeats: ['output', 'outputs'],
  example: `supply psu-a "left of the door"  of enclosed-12v-350w  at shed {
  set     12.4 V
  output  1  fuse 5 A
  outputs 2 to 6  fuse 7.5 A
}`,
});

export const CONTROLLER = entry({
  word: 'controller',
  name: 'required',
  help: 'A controller board that drives runs from its ports.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'part', word: 'of', value: to('controller-part'), required: true, help: 'A controller part.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where it stands.' },
    { key: 'from', word: 'from', value: to('output'), help: 'The supply output that powers the board and its ports.' },
  ],
  example: 'controller box  of sixteen-port  at shed  from psu-a.1',
});

/* What hangs on a port. */

const STRING_PHRASES = [
  { key: 'label', value: text, help: 'What the crew calls it.' },
  { key: 'pixels', value: pixels, required: true, help: 'How many pixels.' },
  { key: 'part', word: 'of', value: to('pixel'), required: true, help: 'A pixel part.' },
  { key: 'pitch', word: 'every', value: length, required: true, help: 'Distance from pixel to pixel along the wire.' },
] as const;

const string = <const W extends string>(word: W, help: string, name: string) =>
  entry({
    word,
    name: 'optional',
    help,
    phrases: STRING_PHRASES,
    example: `${word} ${name}  150 px  of bullet-12  every 75 mm`,
  });

const STRING = string('string', 'A plain string of pixels.', 'tail');
const OUTLINE = string('outline', 'A string along an edge: eaves, gable, fence.', 'gutter');
const ARCH = string('arch', 'A string bent to an arch.', 'left-arch');
const STAR = string('star', 'A string shaped as a star.', 'big-star');
const RING = string('ring', 'A string shaped as a ring.', 'wreath');

const strands = <const W extends string>(word: W, help: string, example: string) =>
  entry({
    word,
    name: 'optional',
    help,
    phrases: [
      { key: 'label', value: text, help: 'What the crew calls it.' },
      { key: 'strands', value: quantity(['strands'], 1, 100_000), required: true, help: 'How many strands.' },
      { key: 'pixels', word: 'x', tight: true, value: pixels, required: true, help: 'How many pixels on each strand.' },
      { key: 'part', word: 'of', value: to('pixel'), required: true, help: 'A pixel part.' },
      {
        key: 'pitch',
        word: 'every',
        value: length,
        required: true,
        help: 'Distance from pixel to pixel along a strand.',
      },
      {
        key: 'spacing',
        word: 'spacing',
        value: length,
        help: 'Wire between the end of one strand and the start of the next.',
        standard: { text: 'one pitch', source: 'strands cut from one string' },
      },
    ],
    example,
  });

const MATRIX = strands(
  'matrix',
  'Strands side by side, chained one after the other.',
  'matrix canvas  16 strands x 50 px  of strip-12  every 50 mm  spacing 0.1 m',
);
const TREE = strands(
  'tree',
  'Strands from a top to a foot, chained one after the other.',
  'tree spruce  12 strands x 50 px  of bullet-12  every 75 mm  spacing 0.4 m',
);

const GAP = entry({
  word: 'gap',
  name: 'none',
  help: 'Wire without pixels between two strings.',
  phrases: [
    { key: 'length', value: length, required: true, help: 'Length of the gap.' },
    {
      key: 'cable',
      word: 'of',
      value: to('cable'),
      help: 'A cable part.',
      standard: { text: "the string's own wire", source: 'common practice' },
    },
  ],
  example: 'gap 0.9 m',
});

const COPIES = entry({
  word: 'copies',
  name: 'optional',
  help: 'A prop several times in a row.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls them.' },
    { key: 'count', value: { type: 'whole', least: 1, most: 10_000 }, required: true, help: 'How many.' },
    { key: 'prop', word: 'of', value: to('prop'), required: true, help: 'A prop.' },
    { key: 'gap', word: 'gap', value: length, help: 'Wire between one and the next.' },
    {
      key: 'cable',
      word: 'through',
      value: to('cable'),
      help: 'A cable part for the gaps.',
      standard: { text: "the string's own wire", source: 'common practice' },
    },
  ],
  example: 'copies flakes  10  of snowflake  gap 1.2 m',
});

const LEAD = entry({
  word: 'lead',
  name: 'none',
  help: 'The cable from the port to the first pixel.',
  phrases: [
    { key: 'length', value: length, help: 'Length of the cable.' },
    { key: 'cable', word: 'of', value: to('cable'), required: true, help: 'A cable part.' },
    {
      key: 'path',
      word: 'along',
      value: path,
      help: 'The places that it passes. Gives its length where none is written.',
    },
  ],
  example: 'lead 14 m  of three-core-18',
});

const CUT = entry({
  word: 'cut',
  name: 'none',
  help: 'V+ is cut here, so that the supplies on both sides stay apart. Ground and data go on.',
  phrases: [{ key: 'rail', value: { type: 'choice', of: ['V+'] }, required: true, help: 'V+.' }],
  example: 'cut V+',
});

const STRING_LINES = [STRING, OUTLINE, ARCH, STAR, RING, MATRIX, TREE, GAP] as const;
const STRING_WORDS = ['string', 'outline', 'arch', 'star', 'ring', 'matrix', 'tree', 'gap', 'copies', 'cut'] as const;

export const PROP = entry({
  word: 'prop',
  name: 'required',
  help: 'Something made once and used by name, as often as you like.',
  phrases: [{ key: 'label', value: text, help: 'What the crew calls it.' }],
  block: STRING_LINES,
  repeats: STRING_WORDS,
  example: `prop snowflake "small snowflake" {
  string  24 px  of bullet-12  every 40 mm
}`,
});

export const RUN = entry({
  word: 'run',
  name: 'required',
  help: 'Everything on one port, in data order.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'from', word: 'from', value: to('port'), required: true, help: 'The port that drives it.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where it hangs.' },
  ],
  block: [LEAD, ...STRING_LINES, COPIES, CUT],
  repeats: STRING_WORDS,
  example: `run eaves  from box.1  at roof {
  lead    14 m  of three-core-18
  outline gutter  150 px  of bullet-12  every 75 mm
  gap     0.9 m
  outline gable  80 px  of bullet-12  every 75 mm
}`,
});

const CABLE_PHRASES = [
  { key: 'length', value: length, help: 'Length of the cable.' },
  { key: 'cable', word: 'of', value: to('cable'), required: true, help: 'A cable part.' },
  {
    key: 'parallel',
    word: 'x',
    tight: true,
    value: { type: 'whole', least: 1, most: 16 },
    help: 'How many in parallel: 2 doubles the conductors.',
  },
  {
    key: 'path',
    word: 'along',
    value: path,
    help: 'The places that it passes. Gives its length where none is written.',
  },
] as const;

const TAP_PHRASES = [
  { key: 'tap', value: to('tap'), required: true, help: 'Where it joins a run.' },
  { key: 'connector', word: 'with', value: to('connector'), help: 'The connector or splice at the tap.' },
] as const;

export const FEED = entry({
  word: 'feed',
  name: 'required',
  help: 'A power cable from a fused output to a run, or a trunk with several taps.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'from', word: 'from', value: to('output'), required: true, help: 'The supply output that it starts at.' },
    { key: 'tap', word: 'to', value: to('tap'), help: 'Where it joins a run.' },
    { key: 'length', value: length, help: 'Length of the cable.' },
    { key: 'cable', word: 'of', value: to('cable'), help: 'A cable part.' },
    {
      key: 'parallel',
      word: 'x',
      tight: true,
      value: { type: 'whole', least: 1, most: 16 },
      help: 'How many in parallel: 2 doubles the conductors.',
    },
    {
      key: 'path',
      word: 'along',
      value: path,
      help: 'The places that it passes. Gives its length where none is written.',
    },
    { key: 'connector', word: 'with', value: to('connector'), help: 'The connector or splice at the tap.' },
  ],
  block: [
    entry({
      word: 'cable',
      name: 'none',
      help: 'A piece of the trunk.',
      phrases: CABLE_PHRASES,
      example: 'cable 12 m of two-core-12',
    }),
    entry({
      word: 'tap',
      name: 'none',
      help: 'The trunk joins a run here and goes on.',
      phrases: TAP_PHRASES,
      example: 'tap eaves[1]',
    }),
  ],
  repeats: ['cable', 'tap'],
  example: 'feed eaves-end  from psu-a.3  to eaves.end  20 m  of two-core-14 x 2',
});

export const BOND = entry({
  word: 'bond',
  name: 'required',
  help: 'Joins the grounds of two supplies or controllers.',
  phrases: [
    { key: 'from', word: 'from', value: to('supply', 'controller'), required: true, help: 'One side.' },
    { key: 'to', word: 'to', tight: true, value: to('supply', 'controller'), required: true, help: 'The other side.' },
    { key: 'length', value: length, required: true, help: 'Length of the wire.' },
    { key: 'cable', word: 'of', value: to('cable'), required: true, help: 'A cable part.' },
  ],
  example: 'bond grounds  from psu-a to psu-b  2 m  of two-core-14',
});

/** Every statement that may stand at the top of a file. */
export const STATEMENTS = [
  PLAN,
  USE,
  PLACE,
  ROUTE,
  PART_PIXEL,
  PART_CABLE,
  PART_CONNECTOR,
  PART_SUPPLY,
  PART_CONTROLLER,
  CIRCUIT,
  SUPPLY,
  CONTROLLER,
  PROP,
  RUN,
  FEED,
  BOND,
] as const;

/** The first words of declarations. At the start of a line each of them closes whatever block is still open. */
export const TOP_KEYWORDS: ReadonlySet<string> = new Set(
  STATEMENTS.map((statement) => statement.word.split(' ')[0] ?? ''),
);
