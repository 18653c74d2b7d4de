import { DATA_MARGIN, NETWORK, UNIVERSES } from './data.ts';
import { amps, entry, length, path, quantity, text, to, volts } from './entry.ts';
import { BOX_RISE, EXTENSION_PHRASES, RISE, SEASON } from './mains.ts';
import { SPARES } from './prices.ts';

/** The plan, its places, and the power and data that stand in boxes. */

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
      phrases: [
        {
          key: 'length',
          value: quantity(['length'], 0, 20),
          required: true,
          help: 'Length at each end, 0 m for none.',
        },
      ],
      example: 'slack 0.5 m',
    }),
    NETWORK,
    DATA_MARGIN,
    BOX_RISE,
    SEASON,
    SPARES,
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
    {
      key: 'before',
      word: 'last-year',
      value: quantity(['cables'], 0, 1000),
      help: 'How many cables passed last year, to see whether the count has fallen.',
    },
  ],
  example: 'route shed to roof  14 m  limit 4 cables',
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

export const OUTPUT = entry({
  word: 'output',
  name: 'none',
  help: 'A fused output of the supply or of its distribution board.',
  phrases: OUTPUT_PHRASES,
  example: 'output 1  fuse 5 A',
});

export const OUTPUTS = entry({
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
});

export const SUPPLY = entry({
  word: 'supply',
  name: 'required',
  help: 'A power supply with its fused outputs.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'part', word: 'of', value: to('supply-part'), required: true, help: 'A supply part.' },
    { key: 'place', word: 'at', value: to('place'), help: 'Where it stands.' },
    { key: 'circuit', word: 'on', value: to('circuit'), help: 'The mains circuit that it is plugged into.' },
    ...EXTENSION_PHRASES,
    { key: 'rise', word: 'box-rise', value: RISE, help: 'How much warmer than the air it is in its own box.' },
  ],
  block: [
    entry({
      word: 'set',
      name: 'none',
      help: 'The voltage to which its trimmer is set.',
      phrases: [{ key: 'volts', value: volts, required: true, help: 'Set voltage, measured without load.' }],
      example: 'set 12.4 V',
    }),
    OUTPUT,
    OUTPUTS,
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
  block: [UNIVERSES],
  example: 'controller box  of sixteen-port  at shed  from psu-a.1',
});
