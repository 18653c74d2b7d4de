import { describe, expect, it } from 'vitest';
import { readSource } from '#grammar/source.ts';
import { findSymbols, type OutlineSymbol, outlineOf } from '#server/ide/symbols.ts';
import { DISPLAY } from '../../support/display.ts';

const file = (text: string) => readSource('file:///display/plan.festoon', text);

/** The outline as an indented list. */
function outline(text: string): string[] {
  const list = (symbols: readonly OutlineSymbol[], indent: string): string[] =>
    symbols.flatMap((symbol) => [
      `${indent}${symbol.name} · ${symbol.detail}`,
      ...list(symbol.children, `${indent}  `),
    ]);
  return list(outlineOf(file(text)), '');
}

describe('the outline', () => {
  it('has every statement, with names first and the rest beside them', () => {
    expect(outline(DISPLAY)).toEqual([
      'bench.festoon · use',
      'Test quay · plan',
      '  frame-rate · 25 fps',
      'shed · place  "Tool shed"',
      'roof · place',
      'route · shed to roof 1 m limit 2 cables',
      'garden · circuit  15 A 120 V at shed',
      'psu · supply  "left of the door" of bench-12 at shed on garden',
      '  set · 12 V',
      '  output · 1 fuse 10 A cold 1 mohm',
      '  outputs · 2 to 3 fuse 7.5 A',
      'box · controller  of board at shed from psu.1',
      'eaves · run  "Long edge" from box.1 at roof',
      '  lead · 2 m of lead-18 along shed to roof',
      '  gutter · outline  60 px of steady-12 every 100 mm',
      '  gable · outline  40 px of steady-12 every 100 mm',
    ]);
  });

  it('keeps every other declaration when a line is taken away', () => {
    const lines = DISPLAY.split('\n');
    const names = (text: string) => outlineOf(file(text)).map((symbol) => symbol.name);
    const whole = names(DISPLAY);
    for (const index of lines.keys()) {
      const rest = names(lines.filter((_, other) => other !== index).join('\n'));
      const lost = whole.filter((name) => !rest.includes(name));
      expect(lost.length).toBeLessThanOrEqual(1);
    }
  });

  it('selects the name inside the statement', () => {
    const text = DISPLAY;
    const check = (symbols: readonly OutlineSymbol[]) => {
      for (const symbol of symbols) {
        expect(symbol.start <= symbol.nameStart && symbol.nameEnd <= symbol.end).toBe(true);
        if (symbol.named) expect(text.slice(symbol.nameStart, symbol.nameEnd)).toBe(symbol.name);
        check(symbol.children);
      }
    };
    check(outlineOf(file(text)));
  });

  it('leaves out what it cannot read, and does not fail on it', () => {
    expect(outline('nonsense here\nplace shed\n}\nrun\npart\n')).toEqual(['shed · place', 'run · ']);
  });
});

describe('symbols of the workspace', () => {
  const names = (query: string) =>
    findSymbols([file(DISPLAY)], query).map(({ symbol, container }) => `${container ?? ''}/${symbol.name}`);

  it('are found by letters in their order, whatever their case', () => {
    expect(names('gtr')).toEqual(['eaves/gutter']);
    expect(names('EAV')).toEqual(['/eaves']);
    expect(names('zz')).toEqual([]);
    expect(names('')).toContain('/psu');
  });

  it('are no more than asked for', () => {
    expect(findSymbols([file(DISPLAY)], '', 2)).toHaveLength(2);
  });
});
