import { describe, expect, it } from 'vitest';
import { readSource } from '#grammar/source.ts';
import { tokenAt } from '#server/ide/token-at.ts';

/** What is found at every offset of a line: the token's text, or · for nothing. */
function tokens(text: string): string[] {
  const file = readSource('file:///display/plan.festoon', text);
  return Array.from({ length: text.length + 1 }, (_, offset) => {
    const token = tokenAt(file, offset);
    return token === undefined ? '·' : token.declaration.text.slice(token.span.start, token.span.end);
  });
}

const times = (count: number, text: string) => Array.from({ length: count }, () => text);

describe('the token at an offset', () => {
  it('takes in both edges of a word, and nothing between words', () => {
    expect(tokens('place shed')).toEqual([...times(6, 'place'), ...times(5, 'shed')]);
  });

  it('leaves blanks between two words to neither, except at their edges', () => {
    // offsets:            p l a c e ^ . . ^ s
    expect(tokens('place   shed').slice(5, 9)).toEqual(['place', '·', '·', 'shed']);
  });

  it('gives a dot and a bracket to the name before them, and what is behind to the step', () => {
    expect(tokens('feed f to psu-a.2').slice(10)).toEqual([...times(6, 'psu-a'), '2', '2']);
    expect(tokens('feed f to eaves[116]').slice(10)).toEqual([...times(6, 'eaves'), ...times(5, '116]')]);
    expect(tokens('feed f to sail.canvas(5).end').slice(10)).toEqual([
      ...times(5, 'sail'),
      ...times(7, 'canvas'),
      ...times(3, '5)'),
      ...times(4, 'end'),
    ]);
  });

  it('prefers what starts at an offset to what ends there', () => {
    expect(tokens('place "Shed"x').slice(6)).toEqual([...times(6, '"Shed"'), 'x', 'x']);
  });

  it('takes a quantity with its unit and blanks as one', () => {
    expect(tokens('  lead 8 ft 4 in').slice(7)).toEqual(times(10, '8 ft 4 in'));
  });

  it('finds tokens at the end of the file and at the end of a declaration', () => {
    const text = 'place shed\nplace roof';
    expect(tokens(text)[10]).toBe('shed');
    expect(tokens(text)[11]).toBe('place');
    expect(tokens(text).at(-1)).toBe('roof');
  });

  it('finds nothing in comments, blank lines and behind braces', () => {
    const text = 'place shed # roof\n\nrun eaves {\n  \n}';
    const found = tokens(text);
    for (let offset = 11; offset <= 18; offset++) expect(found[offset]).toBe('·');
    expect(found[text.indexOf('{') + 2]).toBe('·');
    expect(found[text.length]).toBe('·');
  });

  it('counts in UTF-16 behind an emoji and across CR LF', () => {
    const text = 'place a "🎄🎄"\r\nplace shed';
    expect(tokens(text)[text.indexOf('shed')]).toBe('shed');
    expect(tokens(text)[text.indexOf('🎄')]).toBe('"🎄🎄"');
  });

  it('answers any offset of a damaged text', () => {
    for (const text of ['', '}', 'run', 'run eaves from box. {', 'part', '"', 'feed f to eaves[', '((((', '\ud800']) {
      for (const offset of [-1, 0, 1, text.length, text.length + 5, Number.NaN])
        expect(() => tokenAt(readSource('file:///p', text), offset)).not.toThrow();
      expect(tokens(text)).toHaveLength(text.length + 1);
    }
  });
});
