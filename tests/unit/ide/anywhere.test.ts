import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Analysis } from '#server/analysis/analysis.ts';
import { cardMarkdown, cardText } from '#server/ide/card.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { definitionAt, typeDefinitionAt } from '#server/ide/definition.ts';
import { fileIn } from '#server/ide/file-span.ts';
import { fixAll } from '#server/ide/fixes.ts';
import { foldsOf } from '#server/ide/folding.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { linksOf } from '#server/ide/links.ts';
import { problemsOf } from '#server/ide/problems.ts';
import { mentionsAt } from '#server/ide/references.ts';
import { renameTargetAt } from '#server/ide/rename.ts';
import { selectionsAt } from '#server/ide/selection.ts';
import { semanticTokensOf } from '#server/ide/semantic-tokens.ts';
import { outlineOf } from '#server/ide/symbols.ts';
import { DISPLAY, FED } from '../../support/display.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

/** Every span that any feature answers with, for an offset of the main file. */
function* spansAt(analysis: Analysis, offset: number): Iterable<{ uri?: string; start: number; end: number }> {
  const hover = hoverAt(analysis, MAIN, offset);
  if (hover !== undefined) {
    expect(cardMarkdown(hover.card).length).toBeGreaterThan(0);
    expect(cardText(hover.card)).not.toMatch(/NaN|Infinity|undefined|\[object/);
    yield hover;
  }
  for (const look of [definitionAt, typeDefinitionAt]) {
    const found = look(analysis, MAIN, offset);
    if (found !== undefined) yield* [found.from, found.name, found.whole];
  }
  yield* mentionsAt(analysis, MAIN, offset);
  const target = renameTargetAt(analysis, MAIN, offset);
  if (!('refused' in target)) yield target;
  const completion = completeAt(analysis, MAIN, offset);
  if (completion !== undefined) yield completion;
  const file = fileIn(analysis, MAIN);
  if (file !== undefined) yield* selectionsAt(file, offset);
}

function* spansOf(analysis: Analysis): Iterable<{ uri?: string; start: number; end: number }> {
  const file = fileIn(analysis, MAIN);
  if (file === undefined) return;
  yield* problemsOf(analysis, MAIN);
  yield* fixAll(analysis, MAIN);
  yield* foldsOf(file);
  yield* outlineOf(file);
  yield* linksOf(analysis, MAIN);
  yield* semanticTokensOf(analysis, MAIN);
  for (const { offset } of inlayHintsOf(analysis, MAIN, { start: 0, end: file.text.length }))
    yield { start: offset, end: offset };
}

function expectInside(analysis: Analysis, spans: Iterable<{ uri?: string; start: number; end: number }>): void {
  for (const { uri, start, end } of spans) {
    const length = fileIn(analysis, uri ?? MAIN)?.text.length ?? -1;
    if (!(start >= 0 && start <= end && end <= length)) {
      throw new Error(`${start} to ${end} lies outside of ${uri ?? MAIN}, which has ${length}`);
    }
  }
}

describe('every feature', () => {
  it('answers at every offset of a plan, with spans inside its files', () => {
    const text = `${FED}bond g  from psu to box  1 m  of feed-14\n`;
    const { analysis } = analysePlan(text);
    expectInside(analysis, spansOf(analysis));
    for (let offset = 0; offset <= text.length; offset++) expectInside(analysis, spansAt(analysis, offset));
  });

  it('answers in plans that are damaged anywhere', () => {
    const length = DISPLAY.length;
    const cut = fc.record({
      start: fc.nat(length),
      size: fc.nat(60),
      put: fc.constantFrom(
        '',
        '{',
        '}',
        '"',
        '#',
        '\n',
        ' ',
        '.',
        '[',
        '(',
        '5',
        'run',
        '\u202e',
        '🎄',
        '\r\n',
        'use "plan.festoon"',
      ),
    });
    fc.assert(
      fc.property(cut, fc.nat(length), ({ start, size, put }, offset) => {
        const text = DISPLAY.slice(0, start) + put + DISPLAY.slice(start + size);
        const { analysis } = analysePlan(text.replaceAll('#-- ', ''));
        expectInside(analysis, spansOf(analysis));
        for (const at of [offset, start, start + put.length, start + 1, text.length])
          expectInside(analysis, spansAt(analysis, Math.min(at, text.length)));
      }),
      { numRuns: 150, seed: 20261125 },
    );
  });

  it('answers offsets that no file has', () => {
    const { analysis } = analysePlan(DISPLAY);
    for (const offset of [-1, DISPLAY.length + 1, Number.NaN, Number.POSITIVE_INFINITY, 1.5])
      expect(() => [...spansAt(analysis, offset)]).not.toThrow();
    expect(hoverAt(analysis, 'file:///display/other.festoon', 3)).toBeUndefined();
    expect(problemsOf(analysis, 'file:///display/other.festoon')).toEqual([]);
  });
});
