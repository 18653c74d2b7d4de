import { describe, expect, it } from 'vitest';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { lensesOf } from '#server/ide/lenses.ts';
import { FED } from '../../support/display.ts';
import { marked } from '../../support/marked.ts';

const { analysis, uri, text } = marked(`${FED}prop unused {\n  string 5 px of steady-12 every 50 mm\n}\n|`);
const lenses = lensesOf(analysis, uri);
const over = (word: string) => lenses.find(({ start, end }) => text.slice(start, end) === word);

describe('lenses', () => {
  it('tell the totals of the display above the plan', () => {
    // By hand: 6.001 A (100 pixels of 60 mA and the board's 1 mA) at a little under 12 V are 72 W.
    expect(over('"Test quay"')?.title).toBe('100 pixels · 1 run · 1 feed · 1 supply · 72 W from the supplies');
  });

  it('tell who is joined to whom, and lead there', () => {
    expect(over('eaves')?.title).toBe('driven by box · fed by trunk');
    expect(over('eaves')?.places.map(({ start, end }) => text.slice(start, end))).toEqual(['trunk', 'box']);
  });

  it('tell what is left of a supply', () => {
    // 80 % of 100 A, less 6.001 A; output 1 feeds the board, 3 the trunk.
    expect(over('psu')?.title).toBe('feeds box, trunk · 0 of 2 outputs free · 74.0 A to spare');
  });

  it('count on no more of a supply than it can give in its warm box', () => {
    // 45 °C of air and 15 K of the box are 60 °C, half way from 50 to 70: 80 % of 20 A. 80 % of those 16 A, less 6.001 A.
    const part =
      'part supply warm {\n  voltage 12 V\n  rated 20 A\n  derate above 50 degC to 60 % at 70 degC\n  droop 1 mohm\n}\n';
    const plan = FED.replace('of bench-12', 'of warm').replace(
      'frame-rate 25 fps',
      'frame-rate 25 fps\n  air 0 degC to 45 degC\n  box-rise 15 K',
    );
    const warm = marked(`${plan}${part}|`);
    const titles = lensesOf(warm.analysis, warm.uri).map(({ title }) => title);
    expect(titles).toContain('feeds box, trunk · 0 of 2 outputs free · 6.80 A to spare');
  });

  it('count the uses of props and parts', () => {
    expect(over('unused')?.title).toBe('not used');
    const parts = lensesOf(analysis, 'file:///display/bench.festoon');
    expect(parts.map(({ title }) => title)).toContain('used 3 times');
  });

  it('repeat no figure that an inlay hint shows', () => {
    const hints = inlayHintsOf(analysis, uri, { start: 0, end: text.length });
    expect(hints.length).toBeGreaterThan(3);
    for (const { text: figure } of hints) for (const { title } of lenses) expect(title.includes(figure)).toBe(false);
  });
});
