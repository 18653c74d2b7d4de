import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { readSource } from '#grammar/source.ts';
import { formatOnType, formatRange, formatRanges } from '#server/ide/format-range.ts';
import { edited } from '../../support/marked.ts';

const MESSY =
  'place   shed\n\n\nrun  a   from b.1 {\n lead 2m   of c\n      string  5 px of p   every 50mm\n}\nplace   roof\n';

const inRange = (text: string, from: string, to: string) => {
  const file = readSource('file:///a', text);
  return edited(text, formatRange(file, { start: text.indexOf(from), end: text.indexOf(to) + to.length }));
};

describe('formatting a range', () => {
  it('touches its lines and no others', () => {
    expect(inRange(MESSY, 'lead', 'lead')).toBe(MESSY.replace(' lead 2m   of c', '  lead    2 m  of c'));
    expect(inRange(MESSY, 'place   roof', 'roof')).toBe(MESSY.replace('place   roof', 'place roof'));
  });

  it('leaves blank lines above the first declaration as they are', () => {
    expect(inRange(`\n\n  ${MESSY}`, 'place', 'shed')).toBe(`\n\n${MESSY.replace('place   shed', 'place shed')}`);
  });

  it('has nothing to do above the first line', () => {
    expect(formatOnType(readSource('file:///a', MESSY), 0, '\n')).toEqual([]);
  });

  it('of a whole declaration gives what formatting the file gives for it', () => {
    const own = (text: string) => text.slice(text.indexOf('run'), text.indexOf('}') + 1);
    expect(own(inRange(MESSY, 'run', '}'))).toBe(own(formatText(MESSY)));
  });

  it('touches the lines of several ranges, each of them once, and no line between them', () => {
    const file = readSource('file:///a', MESSY);
    const spanOf = (words: string) => ({ start: MESSY.indexOf(words), end: MESSY.indexOf(words) + words.length });
    // Out of order, and "lead" and "2m" stand in one line.
    const spans = ['place   roof', '2m', 'lead', 'place   shed'].map(spanOf);
    expect(edited(MESSY, formatRanges(file, spans))).toBe(
      MESSY.replace(' lead 2m   of c', '  lead    2 m  of c')
        .replace('place   roof', 'place roof')
        .replace('place   shed', 'place shed'),
    );
    expect(formatRanges(file, [])).toEqual([]);
  });

  it('leaves a declaration that is not closed as it is', () => {
    const text = 'run  a   from b.1 {\n lead 2m   of c\n';
    expect(inRange(text, 'lead', 'lead')).toBe(text);
  });

  it('keeps line ends as they are', () => {
    const text = MESSY.replaceAll('\n', '\r\n');
    expect(inRange(text, 'lead', 'lead')).toBe(text.replace(' lead 2m   of c', '  lead    2 m  of c'));
  });
});

describe('formatting while typing', () => {
  const typed = (plan: string, character: string) => {
    const [before = '', after = ''] = plan.split('|');
    const text = before + after;
    return edited(text, formatOnType(readSource('file:///a', text), before.length, character));
  };

  it('lays out the line before, behind a line break', () => {
    expect(typed('place   shed\n|', '\n')).toBe('place shed\n');
    expect(typed('run a from b.1 {\n lead 2m   of c\n  |\n}\n', '\n')).toBe(
      'run a from b.1 {\n  lead    2 m  of c\n  \n}\n',
    );
    expect(typed('place   shed\r\n|', '\n')).toBe('place shed\r\n');
  });

  it('lays out the line of a brace', () => {
    expect(typed('run a from b.1 {\n   }|\n', '}')).toBe('run a from b.1 {\n}\n');
  });
});
