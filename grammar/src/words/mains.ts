import { amps, entry, length, quantity, text, to } from './entry.ts';

/** Mains circuits, and what supplies ask of them: inrush, leakage, warmth, extension leads, the energy of a season. */

export const EXTENSION_PHRASES = [
  {
    key: 'extension',
    word: 'extension',
    value: length,
    help: 'An extension lead before it. That of a circuit carries all of its supplies.',
  },
  {
    key: 'cord',
    word: 'cord',
    tight: true,
    value: to('cable'),
    help: 'What the extension lead is made of: a cable part that carries line, neutral and earth.',
  },
] as const;

export const RISE = quantity(['warming'], 0, 60);

export const BOX_RISE = entry({
  word: 'box-rise',
  name: 'none',
  help: 'How much warmer than the air it is in the box of a working supply. A kelvin is as large as a degree Celsius.',
  phrases: [
    {
      key: 'kelvin',
      value: RISE,
      required: true,
      help: 'Rise above the air.',
      standard: { text: '15 K', source: 'common practice: 10 to 20 K in a closed box, from memory' },
    },
  ],
  example: 'box-rise 15 K',
});

export const SEASON = entry({
  word: 'season',
  name: 'none',
  help: 'How long the display is lit, and how brightly on average. From this come the energy and its cost.',
  phrases: [
    { key: 'nights', value: quantity(['nights'], 1, 366), required: true, help: 'Number of nights.' },
    {
      key: 'hours',
      word: 'of',
      value: quantity(['time'], 60, 86400),
      required: true,
      help: 'Length of a night.',
    },
    {
      key: 'share',
      word: 'at',
      value: quantity(['share'], 0, 1),
      help: 'Average brightness.',
      standard: { text: '35 %', source: 'common practice: show content averages 30 to 40 % of full white' },
    },
    { key: 'price', word: 'price', value: quantity(['price'], 0, 1), help: 'Price of a kilowatt hour.' },
  ],
  example: 'season 40 nights  of 5 h  at 35 %  price 0.30 per-kWh',
});

export const INRUSH = entry({
  word: 'inrush',
  name: 'none',
  help: 'Peak mains current at a cold start. It is not counted where the part does not state it.',
  phrases: [{ key: 'amps', value: amps, required: true, help: 'Peak current of one supply, cold.' }],
  example: 'inrush 60 A',
});

export const LEAKAGE = entry({
  word: 'leakage',
  name: 'none',
  help: 'Current that leaks to earth in normal use. It is not counted where the part does not state it.',
  phrases: [{ key: 'amps', value: quantity(['current'], 0, 0.1), required: true, help: 'Leakage of one supply.' }],
  example: 'leakage 0.5 mA',
});

export const DERATE = entry({
  word: 'derate',
  name: 'none',
  help: 'How the rating falls with the air around the supply: whole up to one temperature, then along a straight line.',
  phrases: [
    {
      key: 'above',
      word: 'above',
      value: quantity(['temperature'], 0, 100),
      required: true,
      help: 'Whole rating up to here.',
    },
    { key: 'share', word: 'to', value: quantity(['share'], 0, 1), required: true, help: 'Share that is left.' },
    {
      key: 'hot',
      word: 'at',
      value: quantity(['temperature'], 0, 120),
      required: true,
      help: 'Where that share is left.',
    },
  ],
  example: 'derate above 50 degC  to 60 %  at 70 degC',
});

export const CIRCUIT = entry({
  word: 'circuit',
  name: 'required',
  help: 'A mains circuit from the breaker. Mains work is for a licensed electrician and local codes.',
  phrases: [
    { key: 'label', value: text, help: 'What the crew calls it.' },
    { key: 'amps', value: amps, required: true, help: 'Rating of the breaker.' },
    { key: 'volts', value: quantity(['voltage'], 90, 260), required: true, help: 'Mains voltage.' },
    {
      key: 'trip',
      word: 'trip',
      value: { type: 'choice', of: ['B', 'C', 'D'] },
      help: 'How soon the breaker trips at once (IEC 60898): B from 3 times its rating, C from 5, D from 10.',
      standard: {
        text: 'B',
        source: 'the soonest to trip of IEC 60898; where it is assumed, inrush is only information',
      },
    },
    {
      key: 'continuous',
      word: 'continuous',
      value: quantity(['share'], 0.05, 1),
      help: 'Share of the breaker for a load that lasts three hours or more.',
      standard: { text: '80 %', source: 'NEC 210.20(A), from memory' },
    },
    {
      key: 'residual',
      word: 'residual-current',
      value: quantity(['current'], 0.001, 1),
      help: 'Trip current of the residual-current device.',
    },
    { key: 'place', word: 'at', value: to('place'), help: 'Where the socket is.' },
    ...EXTENSION_PHRASES,
  ],
  example: 'circuit garden  15 A  120 V  residual-current 5 mA  at shed',
});
