import { expect, test } from 'vitest';
import { ThingMap } from '#server/analysis/thing-map.ts';

const MAP = new Map([
  ['shed', 1],
  ['roof', 2],
  ['gate', 3],
]);

test('things stand in the order of the names that are given, or in their own', () => {
  expect([...ThingMap.of(MAP)]).toEqual([...MAP]);
  const ordered = ThingMap.of(MAP, ['gate', 'jetty', 'shed']);
  expect([...ordered.entries()]).toEqual([
    ['gate', 3],
    ['shed', 1],
  ]);
  expect([ordered.size, ordered.has('roof'), ordered.get('roof'), ordered.get('shed')]).toEqual([
    2,
    false,
    undefined,
    1,
  ]);
});

test('another version has other things under the same names, and the first one stays as it was', () => {
  const before = ThingMap.of(MAP);
  const after = before.with([new Map([['roof', 20]]), new Map([['jetty', 40]])]);
  expect([...after.keys()]).toEqual([...MAP.keys()]);
  expect([...after.values()]).toEqual([1, 20, 3]);
  expect([...before.values()]).toEqual([1, 2, 3]);
  expect(before.with([new Map()])).toBe(before);
  const seen: unknown[] = [];
  after.forEach((thing, name) => seen.push([name, thing]));
  expect(seen).toEqual([...after]);
});
