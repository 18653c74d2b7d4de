import { entry, quantity, type Value } from './entry.ts';

/** What parts cost, and how many to keep beside those that hang. */

const price = <const V extends Value>(help: string, pack: V, packHelp: string, example: string) =>
  entry({
    word: 'price',
    name: 'none',
    help: `${help} Currencies are never added to one another.`,
    phrases: [
      {
        key: 'amount',
        value: { type: 'whole', least: 0, most: 1e9, fractions: true },
        required: true,
        help: 'How much.',
      },
      {
        key: 'currency',
        value: { type: 'currency' },
        required: true,
        tight: true,
        help: 'Currency, as you write it: EUR, USD, £.',
      },
      { key: 'pack', word: 'for', tight: true, value: pack, help: packHelp },
    ],
    example,
  });

const pieces = { type: 'whole', least: 1, most: 100_000 } as const;

export const PRICE = price(
  'What one costs, or a pack of so many: whole packs are bought.',
  pieces,
  'How many are in a pack.',
  'price 24.90 EUR',
);

export const PIXEL_PRICE = price(
  'What one pixel costs, or a string of so many: whole strings are bought.',
  quantity(['pixels'], 1, 100_000),
  'How many pixels come on a string.',
  'price 18.50 EUR for 50 px',
);

export const CABLE_PRICE = price(
  'What a metre of cable costs, or a drum of so many: whole drums are bought.',
  quantity(['length'], 0.1, 10_000),
  'How much is on a drum.',
  'price 38 EUR for 50 m',
);

export const CONNECTOR_PRICE = price(
  'What a mated pair costs, or a pack of so many pairs: whole packs are bought.',
  pieces,
  'How many pairs are in a pack.',
  'price 9.80 EUR for 10',
);

const STANDARD = 'common practice';
const share = quantity(['share'], 0, 5);
const number = { type: 'whole', least: 0, most: 1000 } as const;

export const SPARES = entry({
  word: 'spares',
  name: 'none',
  help: 'What to keep beside what hangs, for the parts list. What is not said stays as it is.',
  phrases: [
    {
      key: 'pixels',
      word: 'pixels',
      value: share,
      help: 'Share of each kind of pixel, rounded up to a whole one.',
      standard: { text: '5 %', source: STANDARD },
    },
    {
      key: 'connectors',
      word: 'connectors',
      value: share,
      help: 'Share of each kind of connector, rounded up.',
      standard: { text: '5 %', source: STANDARD },
    },
    {
      key: 'cable',
      word: 'cable',
      value: share,
      help: 'Share of each kind of cable.',
      standard: { text: '0 %', source: 'slack at both ends is in the lengths already' },
    },
    {
      key: 'devices',
      word: 'devices',
      value: number,
      help: 'Of each kind of panel, flood, supply, fused board, controller and receiver.',
      standard: { text: '1', source: STANDARD },
    },
    {
      key: 'fuses',
      word: 'fuses',
      value: number,
      help: 'Of each rating of fuse.',
      standard: { text: '2', source: STANDARD },
    },
  ],
  example: 'spares pixels 10 %  connectors 10 %  cable 5 %  devices 1  fuses 4',
});
