import { expect, test } from 'vitest';
import { fewMap } from '#server/model/few-map.ts';

const NAMES = ['shed', 'roof', 'eaves', 'gate', 'arch', 'jetty'];

test.each([0, 1, 2, 4, 5, 6])('a map of %i entries is read as any other', (size) => {
  const map = new Map(NAMES.slice(0, size).map((name, at) => [name, at]));
  const few = fewMap(map);
  expect(few.size).toBe(map.size);
  expect([...few]).toEqual([...map]);
  expect([...few.entries()]).toEqual([...map]);
  expect([...few.keys()]).toEqual([...map.keys()]);
  expect([...few.values()]).toEqual([...map.values()]);
  for (const name of NAMES) expect([few.get(name), few.has(name)]).toEqual([map.get(name), map.has(name)]);
  const seen: unknown[] = [];
  few.forEach((value, key, all) => seen.push([key, value, all === few]));
  expect(seen).toEqual([...map].map(([key, value]) => [key, value, true]));
});

test('what changes afterwards changes nothing in it, and a key is not taken for a value', () => {
  const map = new Map([['a', 'b']]);
  const few = fewMap(map);
  map.set('c', 'd');
  expect([...few]).toEqual([['a', 'b']]);
  expect([few.get('b'), few.has('b')]).toEqual([undefined, false]);
});
