import { describe, expect, it } from 'vitest';
import { powerItemAt, suppliedBy, suppliersOf } from '#server/ide/feed-hierarchy.ts';
import { cursorAt, FED } from '../../support/display.ts';
import { marked } from '../../support/marked.ts';

const { analysis, text } = marked(`${FED}|`);
const told = (links: ReturnType<typeof suppliedBy>) =>
  links.map(({ item, places }) => [item.name, places.map(({ start, end }) => text.slice(start, end)).join()]);

describe('the way of the power', () => {
  it('goes down from the circuit to the run, with the words that say so', () => {
    expect(told(suppliedBy(analysis, 'circuit', 'garden'))).toEqual([['psu', 'psu']]);
    expect(told(suppliedBy(analysis, 'supply', 'psu'))).toEqual([
      ['box', 'psu.1'],
      ['trunk', 'psu.3'],
    ]);
    expect(told(suppliedBy(analysis, 'feed', 'trunk'))).toEqual([['eaves', 'eaves']]);
    expect(told(suppliedBy(analysis, 'run', 'eaves'))).toEqual([]);
  });

  it('goes up from the run', () => {
    expect(told(suppliersOf(analysis, 'run', 'eaves')).map(([name]) => name)).toEqual(['trunk', 'box']);
    expect(told(suppliersOf(analysis, 'controller', 'box')).map(([name]) => name)).toEqual(['psu']);
    expect(suppliersOf(analysis, 'run', 'nothing')).toEqual([]);
  });

  it('starts at any name that takes part, outputs and strings included', () => {
    const at = (word: string, into = 0) => {
      const cursor = marked(cursorAt(FED, word, into));
      return powerItemAt(cursor.analysis, cursor.uri, cursor.offset);
    };
    expect(at('psu.3', 4)?.name).toBe('psu');
    expect(at('gutter')?.name).toBe('eaves');
    // 100 pixels of 60 mA: see the display.
    expect(at('eaves "Long')?.detail).toBe('run, 100 pixels, 6.00 A');
    expect(at('roof')).toBeUndefined();
  });
});
