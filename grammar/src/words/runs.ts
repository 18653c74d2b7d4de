import { ADDRESS_PHRASES, NULL } from './data.ts';
import { date, entry, flag, length, path, pixels, quantity, text, to } from './entry.ts';
import { PANELS } from './fixtures.ts';

/** What hangs on a port, and the cables that feed it. */

/* Phrases that several lines share. */

export const LENGTH = { key: 'length', value: length, help: 'Length of the cable.' } as const;
export const WAY = {
  key: 'path',
  word: 'along',
  value: path,
  help: 'The places that it passes: the cable counts on the routes between them. Gives its length where none is written.',
} as const;
export const PARALLEL = {
  key: 'parallel',
  word: 'x',
  tight: true,
  value: { type: 'whole', least: 1, most: 16 },
  help: 'How many in parallel: 2 doubles the conductors.',
} as const;
const CONNECTOR = {
  key: 'connector',
  word: 'with',
  value: to('connector'),
  help: 'The connector or splice at the tap.',
} as const;
const NO_TAP = {
  key: 'noTap',
  word: 'no-tap',
  value: flag,
  help: 'No feed may join here: it cannot be reached, or is not to be opened. Suggestions leave it out.',
} as const;
const OWN_WIRE = { text: "the string's own wire", source: 'common practice' } as const;

const STRING_PHRASES = [
  { key: 'label', value: text, help: 'What the crew calls it.' },
  { key: 'pixels', value: pixels, required: true, help: 'How many pixels.' },
  { key: 'part', word: 'of', value: to('pixel'), required: true, help: 'A pixel part.' },
  { key: 'pitch', word: 'every', value: length, required: true, help: 'Distance from pixel to pixel along the wire.' },
  NO_TAP,
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
      {
        key: 'serpentine',
        word: 'serpentine',
        value: { type: 'flag' },
        help: 'Every other strand runs backwards, so the next one starts where this one ends.',
        standard: { text: 'serpentine', source: 'common practice: it takes the least wire' },
      },
      {
        key: 'straight',
        word: 'straight',
        value: { type: 'flag' },
        help: 'All strands run the same way: wire as long as a strand leads back to the start of the next one, and the spacing.',
      },
      NO_TAP,
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
      standard: OWN_WIRE,
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
      standard: OWN_WIRE,
    },
  ],
  example: 'copies flakes  10  of snowflake  gap 1.2 m',
});

const LEAD = entry({
  word: 'lead',
  name: 'none',
  help: 'The cable from the port to the first pixel.',
  phrases: [LENGTH, { key: 'cable', word: 'of', value: to('cable'), required: true, help: 'A cable part.' }, WAY],
  example: 'lead 14 m  of three-core-18',
});

const CUT = entry({
  word: 'cut',
  name: 'none',
  help: 'V+ is cut here, so that the supplies on both sides stay apart. Ground and data go on.',
  phrases: [{ key: 'rail', value: { type: 'choice', of: ['V+'] }, required: true, help: 'V+.' }],
  example: 'cut V+',
});

const STRING_LINES = [STRING, OUTLINE, ARCH, STAR, RING, MATRIX, TREE, NULL, GAP] as const;
const STRING_WORDS = [
  'string',
  'outline',
  'arch',
  'star',
  'ring',
  'matrix',
  'tree',
  'null',
  'gap',
  'copies',
  'cut',
] as const;

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
    ...ADDRESS_PHRASES,
    NO_TAP,
  ],
  block: [LEAD, ...STRING_LINES, PANELS, COPIES, CUT],
  repeats: [...STRING_WORDS, 'panels'],
  example: `run eaves  from box.1  at roof {
  lead    14 m  of three-core-18
  outline gutter  150 px  of bullet-12  every 75 mm
  gap     0.9 m
  outline gable  80 px  of bullet-12  every 75 mm
}`,
});

const CABLE_PHRASES = [
  LENGTH,
  { key: 'cable', word: 'of', value: to('cable'), required: true, help: 'A cable part.' },
  PARALLEL,
  WAY,
] as const;

const TAP_PHRASES = [
  { key: 'tap', value: to('tap'), required: true, help: 'Where it joins a run.' },
  CONNECTOR,
] as const;

export const FEED = entry({
  word: 'feed',
  name: 'required',
  help: 'A power cable from a fused output to a run, or a trunk with several taps.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    {
      key: 'from',
      word: 'from',
      value: to('output'),
      required: true,
      help: 'The fused output that it starts at: of a supply or of a board.',
    },
    { key: 'tap', word: 'to', value: to('tap'), help: 'Where it joins a run.' },
    LENGTH,
    { key: 'cable', word: 'of', value: to('cable'), help: 'A cable part.' },
    PARALLEL,
    WAY,
    CONNECTOR,
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

export const MEASURED = entry({
  word: 'measured',
  name: 'none',
  help: 'What the meter said between V+ and ground somewhere on a run, and what was lit at the time.',
  phrases: [
    { key: 'tap', value: to('tap'), required: true, help: 'Where the meter was held.' },
    { key: 'volts', value: quantity(['voltage'], 0, 60), required: true, help: 'What the meter said.' },
    {
      key: 'look',
      word: 'under',
      value: { type: 'choice', of: ['full-white', 'red', 'green', 'blue'] },
      help: 'What was lit.',
      standard: { text: "the plan's design look", source: 'the plan' },
    },
    {
      key: 'share',
      word: 'at',
      tight: true,
      value: quantity(['share'], 0, 1),
      help: 'How bright it was.',
      standard: { text: "the plan's design brightness", source: 'the plan' },
    },
    { key: 'date', word: 'on', value: date, help: 'The day.' },
  ],
  example: 'measured eaves[230]  11.31 V  under full-white at 50 %  on 2026-11-20',
});
