import { describe, expect, it } from 'vitest';

/** What stands in for lodash in the bundles does what lodash does with all that the parser's library hands it. */

type Library = Readonly<Record<string, (...args: unknown[]) => unknown>>;
// Neither has types of its own.
const [original, small] = (await Promise.all(
  ['lodash-es', '../../../client/scripts/small-lodash.mjs'].map((name) => import(/* @vite-ignore */ name)),
)) as [Library, Library];

class Token {
  static readonly PATTERN = /a/;
  readonly kind: string;
  constructor(kind: string) {
    this.kind = kind;
  }
}

const VALUES: readonly unknown[] = [
  ...[undefined, null, 0, 7, '', 'word', true, /x/, Token, new Token('a'), () => 1],
  ...[[], [1, 2, 3], [3, 1, 3, 0, undefined], ['a', 'b'], [[1, 2], [3], []], [{ a: 1 }, { a: 2 }]],
  ...[{}, { a: 1, b: undefined }, { a: { a: 1 }, hasOwnProperty: 2 }],
];
const LISTS = VALUES.filter((value) => Array.isArray(value));
const ALL = VALUES.filter((value) => typeof value === 'object' && !(value instanceof RegExp));
const isLarge = (value: unknown) => typeof value === 'number' && value > 1;
const pair = (value: unknown, key: unknown) => [key, value];

const CASES: Readonly<Record<string, readonly (readonly unknown[])[]>> = {
  ...Object.fromEntries(
    ['identity', 'noop', 'isArray', 'isString', 'isFunction', 'isUndefined', 'isRegExp', 'isObject', 'keys'].map(
      (name) => [name, VALUES.map((value) => [value])],
    ),
  ),
  isEmpty: [...ALL, '', 'word'].map((value) => [value]),
  clone: ALL.map((value) => [value]),
  values: ALL.map((value) => [value]),
  ...Object.fromEntries(
    ['map', 'flatMap', 'forEach', 'filter', 'reject', 'find', 'every', 'some'].map((name) => [
      name,
      ALL.flatMap((value) => [[value, isLarge], ...(name.endsWith('ap') ? [[value, pair]] : [])]),
    ]),
  ),
  groupBy: ALL.map((value) => [value, (each: unknown) => typeof each]),
  pickBy: ALL.map((value) => [value, isLarge]),
  reduce: ALL.flatMap((value) => [
    [value, (sum: unknown, each: unknown, key: unknown) => `${sum} ${key} ${typeof each}`, 'start'],
    [value, (sum: unknown) => sum],
  ]),
  includes: [...ALL, 'word'].flatMap((value) => [1, 3, 'o', undefined].map((each) => [value, each])),
  indexOf: LISTS.flatMap((value) => [1, 3, 'b'].map((each) => [value, each])),
  has: VALUES.flatMap((value) => ['a', 'PATTERN', 'hasOwnProperty', 0].map((key) => [value, key])),
  assign: [[{}, { a: 1 }, undefined, { a: 2, b: 3 }]],
  defaults: [[{ a: 1, b: undefined }, { a: 2, b: 3 }, { c: 4, b: 5 }, undefined]],
  ...Object.fromEntries(
    ['first', 'last', 'flatten', 'compact', 'uniq', 'drop', 'dropRight'].map((name) => [
      name,
      LISTS.map((value) => [value]),
    ]),
  ),
  difference: [
    [[1, 2, 3, 2], [2], [3]],
    [[], [1]],
  ],
  upperFirst: [['word'], [''], ['Word']],
};

describe('small-lodash', () => {
  it('is looked at as a whole', () => {
    expect(Object.keys(CASES).sort()).toEqual(Object.keys(small).sort());
  });

  it.each(Object.entries(CASES))('%s', (name, cases) => {
    for (const args of cases) {
      const copies = args.map((each) => (Array.isArray(each) ? [...each] : each));
      expect(small[name]?.(...copies), `${name} ${JSON.stringify(args)}`).toEqual(original[name]?.(...args));
    }
  });

  it('leaves a walk where it is told to', () => {
    for (const { forEach } of [original, small]) {
      const seen: unknown[] = [];
      forEach?.(['a', 'b', 'c'], (value: unknown, index: unknown) => seen.push([index, value]) < 2);
      expect(seen).toEqual([
        [0, 'a'],
        [1, 'b'],
      ]);
    }
  });
});
