import { describe, expect, it } from 'vitest';
import { Recent } from '#grammar/recent.ts';

describe('what was made lately', () => {
  const counted = (most: number) => {
    const recent = new Recent<string, string>(most, ({ length }) => length);
    const made: string[] = [];
    const get = (key: string, weight = 1) =>
      recent.get(key, () => {
        made.push(key);
        return 'x'.repeat(weight);
      });
    return { made, get };
  };

  it('is kept up to half of the weight at least, and beyond the whole of it never', () => {
    const { made, get } = counted(8);
    for (const key of ['a', 'b', 'c', 'd']) get(key);
    for (const key of ['a', 'b', 'c', 'd']) get(key);
    expect(made).toEqual(['a', 'b', 'c', 'd']);
    // Eight others weigh as much as all that may be kept.
    for (const key of ['1', '2', '3', '4', '5', '6', '7', '8']) get(key);
    get('a');
    expect(made.slice(-2)).toEqual(['8', 'a']);
  });

  it('stays while it is asked for, whatever goes by', () => {
    const { made, get } = counted(8);
    get('a');
    for (let n = 0; n < 50; n++) {
      get(`other ${n}`);
      get('a');
    }
    expect(made.filter((key) => key === 'a')).toHaveLength(1);
    get('other 0');
    expect(made.at(-1)).toBe('other 0');
  });

  it('makes room as it is heavy', () => {
    const { made, get } = counted(8);
    get('light');
    get('heavy', 4);
    get('heavier', 4);
    get('light');
    expect(made).toEqual(['light', 'heavy', 'heavier', 'light']);
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
