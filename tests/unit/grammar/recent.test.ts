import { describe, expect, it } from 'vitest';
import { Recent } from '#grammar/recent.ts';

describe('what was made lately', () => {
  it('is kept up to a weight, that which was asked for longest ago goes first', () => {
    const recent = new Recent<{ name: string }, string>(5, ({ length }) => length);
    const [a, b, c] = [{ name: 'a' }, { name: 'b' }, { name: 'c' }];
    const made: string[] = [];
    const get = (key: { name: string }, weight: number) =>
      recent.get(key, () => {
        made.push(key.name);
        return 'x'.repeat(weight);
      });
    get(a, 2);
    get(b, 2);
    get(a, 2);
    expect(made).toEqual(['a', 'b']);
    // 2 + 2 + 2 are more than 5: b, asked for longest ago, goes.
    get(c, 2);
    get(a, 2);
    expect(made).toEqual(['a', 'b', 'c']);
    get(b, 2);
    expect(made).toEqual(['a', 'b', 'c', 'b']);
  });

  it('is kept whatever it weighs where it is the last', () => {
    const recent = new Recent<object, string>(5, ({ length }) => length);
    const key = {};
    let made = 0;
    const make = () => `${'x'.repeat(100)}${made++}`;
    expect(recent.get(key, make)).toBe(recent.get(key, make));
    expect(made).toBe(1);
  });
});
