import { entry, flag, length, pixels, quantity, to, volts } from './entry.ts';

/** The data side: time on the wire, logic levels, addresses, the network. */

/** The data line of a pixel part. */
export const DATA = entry({
  word: 'data',
  name: 'none',
  help: 'Time that one pixel takes on the data wire: one wire, or with "clocked" data and clock on two.',
  phrases: [
    { key: 'bits', value: quantity(['bits'], 1, 512), required: true, help: 'Bits per pixel: 24, 32, 48, 64.' },
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
      help: 'Pause that ends a frame.',
      standard: { text: '300 us, none for clocked pixels', source: 'the longest of the common one-wire datasheets' },
    },
    {
      key: 'clocked',
      word: 'clocked',
      value: flag,
      help: 'Two wires, data and clock: a frame has a start and an end of its own instead of a pause.',
    },
    {
      key: 'start',
      word: 'start',
      value: quantity(['bits'], 0, 1024),
      help: 'Bits before the first pixel of a frame.',
      standard: { text: 'none, 32 bits for clocked pixels', source: 'datasheet of the APA102' },
    },
    {
      key: 'end',
      word: 'end',
      value: quantity(['bits'], 0, 64),
      help: 'Bits that each pixel adds to the end of a frame.',
      standard: { text: 'none, 0.5 bits for clocked pixels', source: 'common practice: half a clock a pixel' },
    },
  ],
  example: 'data 24 bits at 800 kHz reset 280 us',
});

/** Instead of a data line: a fixture on a line of ANSI E1.11. */
export const DMX = entry({
  word: 'dmx',
  name: 'none',
  help: 'A fixture on a DMX512-A line (ANSI E1.11) instead of pixel data: 44 us a slot, at most 512 slots on a line.',
  phrases: [],
  example: 'dmx',
});

export const SLOTS = entry({
  word: 'slots',
  name: 'none',
  help: 'How many slots of a universe one pixel takes. Without this line 3, or 4 where the part has white.',
  phrases: [
    { key: 'count', value: { type: 'whole', least: 1, most: 512 }, required: true, help: 'Slots of one pixel.' },
  ],
  example: 'slots 4',
});

export const GAP_LIMIT = entry({
  word: 'gap-limit',
  name: 'none',
  help: 'How far the data of one pixel reaches to the next. Without this line 5 m (common practice: 3 to 5 m).',
  phrases: [{ key: 'length', value: length, required: true, help: 'Longest gap.' }],
  example: 'gap-limit 4 m',
});

export const LOGIC = entry({
  word: 'logic',
  name: 'none',
  help: 'What the pixel takes for a one: a share of the voltage of its logic, measured from its own ground.',
  phrases: [
    {
      key: 'volts',
      value: volts,
      help: 'The voltage of its logic, where a regulator in the pixel makes it.',
      standard: {
        text: 'its own supply, 5 V for pixels above 5.5 V',
        source: 'common practice: pixels for 12 V and 24 V regulate their logic to 5 V',
      },
    },
    {
      key: 'threshold',
      word: 'threshold',
      value: quantity(['share'], 0.05, 0.95),
      help: 'The share of it that is read as a one.',
      standard: { text: '70 %', source: 'datasheets of the WS2812B and its kin: 0.7 of the supply' },
    },
  ],
  example: 'logic 5 V  threshold 70 %',
});

/** Lines of a controller part. */
export const DRIVES = entry({
  word: 'drives',
  name: 'none',
  help: 'The voltage that its ports put on the data wire. Without this line 5 V (common practice: 5 V buffers).',
  phrases: [{ key: 'volts', value: volts, required: true, help: 'Voltage of a one.' }],
  example: 'drives 5 V',
});

export const UNIVERSES_LIMIT = entry({
  word: 'universes',
  name: 'none',
  help: 'The most universes that it can receive.',
  phrases: [
    { key: 'count', value: { type: 'whole', least: 1, most: 63_999 }, required: true, help: 'Number of universes.' },
  ],
  example: 'universes 96',
});

const SPEED = quantity(['bit-rate'], 1000, 1e12);

export const LINK_SPEED = entry({
  word: 'network',
  name: 'none',
  help: 'The speed of its network port. Without this line 100 Mbps.',
  phrases: [{ key: 'speed', value: SPEED, required: true, help: 'Bits per second.' }],
  example: 'network 100 Mbps',
});

/** Lines of the plan. */
export const NETWORK = entry({
  word: 'network',
  name: 'none',
  help: 'The network that carries the universes of all controllers.',
  phrases: [
    {
      key: 'speed',
      value: SPEED,
      help: 'Its slowest link.',
      standard: { text: '100 Mbps', source: 'IEEE 802.3: 100BASE-TX' },
    },
    {
      key: 'share',
      word: 'load',
      value: quantity(['share'], 0.01, 1),
      help: 'The share of a link that may be used.',
      standard: { text: '50 %', source: 'common practice: packets of a frame come in bursts' },
    },
    {
      key: 'synchronised',
      word: 'synchronised',
      value: flag,
      help: 'A synchronisation packet to each controller in every frame.',
    },
  ],
  example: 'network 100 Mbps  load 50 %',
});

export const DATA_MARGIN = entry({
  word: 'data-margin',
  name: 'none',
  help: 'What must be left between the data signal and the threshold of a pixel. Without this line 0.4 V.',
  phrases: [{ key: 'volts', value: quantity(['voltage'], 0, 5), required: true, help: 'Least margin.' }],
  example: 'data-margin 0.4 V',
});

/** The line of a controller that says where its addresses begin. */
export const UNIVERSES = entry({
  word: 'universes',
  name: 'none',
  help: 'The universes that its runs take one after the other. Without this line those behind the controllers before it.',
  phrases: [
    {
      key: 'first',
      word: 'from',
      value: { type: 'whole', least: 1, most: 63_999 },
      required: true,
      help: 'The first universe.',
    },
    {
      key: 'split',
      word: 'split',
      value: flag,
      help: 'A pixel may lie in two universes. Without this word it never does: 170 pixels of three slots a universe.',
    },
  ],
  example: 'universes from 1',
});

/** Phrases of a run whose address is pinned. */
export const ADDRESS_PHRASES = [
  {
    key: 'universe',
    word: 'universe',
    value: { type: 'whole', least: 1, most: 63_999 },
    help: 'The universe of its first pixel.',
    standard: { text: 'the next free one of its controller', source: 'counted in the order of the plan' },
  },
  {
    key: 'slot',
    word: 'slot',
    tight: true,
    value: { type: 'whole', least: 1, most: 512 },
    help: 'The slot of its first pixel in that universe.',
    standard: { text: '1', source: 'the first slot' },
  },
] as const;

/** A line of a run or prop. */
export const NULL = entry({
  word: 'null',
  name: 'none',
  help: 'Dark pixels in the wire that pass the data on afresh. They count along the data, draw their idle current and have no address.',
  phrases: [
    { key: 'pixels', value: pixels, required: true, help: 'How many.' },
    { key: 'part', word: 'of', value: to('pixel'), required: true, help: 'A pixel part.' },
    {
      key: 'pitch',
      word: 'every',
      value: length,
      help: 'Wire of its own that each brings along.',
      standard: { text: '100 mm', source: 'common practice' },
    },
  ],
  example: 'null 1 px of bullet-12',
});
