import { entry, quantity, text, to } from './entry.ts';

/** What a plan says of itself: what must hold, and what is known and left as it is. */

const LOOKS = ['full-white', 'red', 'green', 'blue'] as const;

export const EXPECT = entry({
  word: 'expect',
  name: 'none',
  help: 'What must hold. It is checked on every keystroke and by festoon test, in the worst corner where the plan states tolerances.',
  phrases: [
    {
      key: 'tap',
      value: to('tap'),
      help: 'A run or a part of it: the volts of every pixel, or the amperes that they draw together. Or one joint: the volts there.',
    },
    { key: 'feed', word: 'feed', value: to('feed'), help: 'The current into a feed, or the volts that it loses.' },
    { key: 'supply', word: 'supply', value: to('supply'), help: 'The current, power or voltage of a supply.' },
    { key: 'circuit', word: 'circuit', value: to('circuit'), help: 'The mains current of a circuit.' },
    { key: 'route', word: 'route', value: { type: 'path' }, help: 'How many cables pass a route.' },
    {
      key: 'side',
      word: 'at',
      tight: true,
      value: { type: 'choice', of: ['least', 'most'] },
      required: true,
      help: 'Which way the limit holds.',
    },
    {
      key: 'limit',
      tight: true,
      value: quantity(['voltage', 'current', 'power', 'cables'], 0, 1_000_000),
      required: true,
      help: 'The limit, of the kind that is meant.',
    },
    {
      key: 'look',
      word: 'under',
      value: { type: 'choice', of: LOOKS },
      help: 'What is lit.',
      standard: { text: "the plan's design look", source: 'the plan' },
    },
    {
      key: 'share',
      word: 'at',
      tight: true,
      value: quantity(['share'], 0, 1),
      help: 'How bright it is.',
      standard: { text: "the plan's design brightness", source: 'the plan' },
    },
  ],
  example: 'expect eaves[116] at least 11.2 V  under full-white at 50 %',
});

export const ACCEPT = entry({
  word: 'accept',
  name: 'none',
  help: 'A finding that is known and left as it is, with the reason. It is listed as accepted instead of being underlined; what can hurt somebody stays in sight.',
  phrases: [
    { key: 'code', value: { type: 'code' }, required: true, help: 'The code of the finding.' },
    {
      key: 'thing',
      word: 'of',
      value: to(
        'run',
        'feed',
        'supply',
        'controller',
        'circuit',
        'prop',
        'bond',
        'place',
        'pixel',
        'cable',
        'connector',
        'supply-part',
        'controller-part',
      ),
      help: 'What it is found on.',
    },
    { key: 'route', word: 'along', value: { type: 'path' }, help: 'The route that it is found on.' },
    { key: 'everywhere', word: 'everywhere', value: { type: 'flag' }, help: 'Wherever it is found in the plan.' },
    {
      key: 'reason',
      word: 'because',
      value: text,
      required: true,
      help: 'Why it is left: for whoever reads this next year.',
    },
  ],
  example: 'accept low-voltage  of eaves  because "stays at 30 % all season"',
});
