import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { codeBlock, codeSpan, escapeMarkdown } from '#server/ide/markdown.ts';

/** What a Markdown reader makes of escaped text: a backslash in front of an ASCII mark is taken away (CommonMark 2.4). */
const read = (markdown: string) => markdown.replace(/ {2}\n/g, '\n').replace(/\\([!-/:-@[-`{-~])/g, '$1');

describe('escaping', () => {
  it('leaves plain figures and names as they are', () => {
    for (const text of ['psu-a.2', '10.17 V at pixel 100', '6.00 A, 72 W (6 %)', "the string's own wire"]) {
      expect(read(escapeMarkdown(text))).toBe(text);
    }
    expect(escapeMarkdown('10.17 V at pixel 100; needs 10.80 V')).toBe('10.17 V at pixel 100; needs 10.80 V');
    expect(escapeMarkdown('two-core 14 AWG')).toBe('two-core 14 AWG');
  });

  it('escapes the same marks in a text of words and figures alone as in one with others', () => {
    const units = fc.constantFrom(...'a.1-):/( °;%Zä+'.split(''));
    fc.assert(
      fc.property(fc.string({ unit: units, maxLength: 12 }), (text) => {
        // The mark behind it changes nothing in what stands before.
        expect(`${escapeMarkdown(`${text}x`)} \\*`).toBe(escapeMarkdown(`${text}x *`));
        expect(`\\* ${escapeMarkdown(`x${text}`)}`).toBe(escapeMarkdown(`* x${text}`));
      }),
      { numRuns: 20_000 },
    );
  });

  it('shows any text exactly, and leaves no mark alive', () => {
    const marks = fc.constantFrom(...'\\`*_{}[]()#+-.!|<>&~@$=:/ 1a\n'.split(''));
    fc.assert(
      fc.property(fc.string({ unit: marks, maxLength: 30 }), (text) => {
        const escaped = escapeMarkdown(text);
        expect(read(escaped)).toBe(text.trim().replace(/\s*\n\s*/g, '\n'));
        const live = escaped.replace(/\\[!-/:-@[-`{-~]/g, 'x');
        expect(live).not.toMatch(/[\\`*_{}[\]#!|<>&~@$=]|:\/|^\s*\d+[.)]\s|^\s*[-+]/m);
      }),
      { numRuns: 5000 },
    );
  });

  it('keeps a text inside its code span or block', () => {
    expect(codeSpan('a`b')).toBe('``a`b``');
    expect(codeSpan('`a')).toBe('`` `a ``');
    expect(codeSpan('a\nb')).toBe('`a b`');
    expect(codeBlock('```\nrun')).toBe('````festoon\n```\nrun\n````');
  });
});
