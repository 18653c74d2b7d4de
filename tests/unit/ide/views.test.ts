import { describe, expect, it } from 'vitest';
import { readSource } from '#grammar/source.ts';
import { cardText } from '#server/ide/card.ts';
import { foldsOf } from '#server/ide/folding.ts';
import { formatChanges, lineChanges } from '#server/ide/format.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { linksOf } from '#server/ide/links.ts';
import { selectionsAt } from '#server/ide/selection.ts';
import { semanticTokensOf } from '#server/ide/semantic-tokens.ts';
import { DISPLAY, FED } from '../../support/display.ts';
import { edited, marked } from '../../support/marked.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';
import { hostOfDisplay, sampleDisplays } from '../../support/samples.ts';

const file = (text: string) => readSource(MAIN, text);

describe('folding', () => {
  const folds = (text: string) => foldsOf(file(text)).map(({ start, end, kind }) => [kind, text.slice(start, end)]);

  it('takes blocks, comments and uses of more than one line', () => {
    expect(folds('use "a"\nuse "b"\n\n# one\n# two\nrun a {\n  gap 1 m\n}\n# alone\nplace b\n')).toEqual([
      ['uses', 'use "a"\nuse "b"'],
      ['comment', '# one\n# two'],
      ['block', '{\n  gap 1 m\n}'],
    ]);
  });

  it('works with CR LF, and where a block is not closed', () => {
    expect(folds('# a\r\n# b\r\nrun a {\r\n  gap 1 m\r\n\r\nplace b')).toEqual([
      ['comment', '# a\r\n# b'],
      ['block', '{\r\n  gap 1 m'],
    ]);
    expect(folds('')).toEqual([]);
  });
});

describe('growing a selection', () => {
  const grown = (plan: string) => {
    const { text, offset } = marked(plan);
    return selectionsAt(file(text), offset).map(({ start, end }) => text.slice(start, end));
  };

  it('goes from the word over phrase, line, block and statement to the file', () => {
    expect(grown('place b\nrun a  from c.1 {\n  outline g  60 px  of bu|llet  every 1 m\n}\n')).toEqual([
      'bullet',
      'of bullet',
      'outline g  60 px  of bullet  every 1 m',
      '\n  outline g  60 px  of bullet  every 1 m\n',
      '{\n  outline g  60 px  of bullet  every 1 m\n}',
      'run a  from c.1 {\n  outline g  60 px  of bullet  every 1 m\n}',
      'place b\nrun a  from c.1 {\n  outline g  60 px  of bullet  every 1 m\n}\n',
    ]);
  });

  it('takes the steps of a name one by one', () => {
    expect(grown('feed f  to sail.canvas(|5)').slice(0, 3)).toEqual(['5)', 'sail.canvas(5)', 'to sail.canvas(5)']);
  });

  it('always grows, everywhere', () => {
    for (let offset = 0; offset <= DISPLAY.length; offset++) {
      const spans = selectionsAt(file(DISPLAY), offset);
      expect(spans.length).toBeGreaterThan(0);
      for (const [index, span] of spans.entries()) {
        const inner = spans[index - 1];
        expect(span.start <= offset && offset <= span.end).toBe(true);
        if (inner !== undefined)
          expect(
            span.start <= inner.start && inner.end <= span.end && span.end - span.start > inner.end - inner.start,
          ).toBe(true);
      }
    }
  });
});

describe('links', () => {
  it('lead from the path of a use line to its file, without the quotes', () => {
    const { analysis } = analysePlan(DISPLAY);
    expect(linksOf(analysis, MAIN).map((link) => [DISPLAY.slice(link.start, link.end), link.target])).toEqual([
      ['bench.festoon', 'file:///display/bench.festoon'],
    ]);
  });

  it('are none where the file is missing or outside', () => {
    const { analysis } = analysePlan('use "nothing.festoon"\nuse "../../secret"\nuse "plan.festoon"\n');
    expect(linksOf(analysis, MAIN).map((link) => link.path)).toEqual(['plan.festoon']);
  });
});

describe('semantic tokens', () => {
  const { analysis } = analysePlan(`${DISPLAY}feed back  from psu.2  to eaves.gable[40]  20 m  of nonsense\n`);
  const text = analysis.files[0]?.text ?? '';
  const tokens = semanticTokensOf(analysis, MAIN);
  const named = (word: string, type: string, declares: boolean) =>
    tokens.filter(
      (token) => text.slice(token.start, token.end) === word && token.type === type && token.declares === declares,
    ).length;

  it('tell what each name stands for, and where it is declared', () => {
    expect(named('shed', 'namespace', true)).toBe(1);
    expect(named('shed', 'namespace', false)).toBe(5);
    expect(named('steady-12', 'class', false)).toBe(2);
    expect(named('psu', 'variable', true)).toBe(1);
    expect(named('psu', 'variable', false)).toBe(2);
    expect(named('gable', 'property', true)).toBe(1);
    expect(named('gable', 'property', false)).toBe(1);
    expect(named('2', 'property', false)).toBe(1);
  });

  it('leave words alone that are no names', () => {
    for (const word of ['run', 'every', 'nonsense', 'outputs', '60'])
      expect(tokens.some((token) => text.slice(token.start, token.end) === word)).toBe(false);
  });

  it('stand in order, do not overlap, and can be had for a part of the file', () => {
    for (const [index, token] of tokens.entries())
      expect(token.start).toBeGreaterThanOrEqual(tokens[index - 1]?.end ?? 0);
    const start = text.indexOf('run eaves');
    const end = text.indexOf('lead');
    expect(semanticTokensOf(analysis, MAIN, { start, end })).toEqual(
      tokens.filter((token) => token.end >= start && token.start <= end),
    );
  });
});

describe('inlay hints', () => {
  /** The lines with a hint, with the hint in ‹ › where it is shown. */
  function hinted(plan: string): string[] {
    const { analysis } = analysePlan(plan);
    const text = analysis.files[0]?.text ?? '';
    return inlayHintsOf(analysis, MAIN, { start: 0, end: text.length }).map(({ offset, text: hint }) => {
      const start = text.lastIndexOf('\n', offset - 1) + 1;
      const end = text.indexOf('\n', offset);
      return `${text.slice(start, offset)} ‹${hint}›${text.slice(offset, end)}`;
    });
  }

  it('show what was reckoned by hand at the ends of lines', () => {
    expect(hinted(DISPLAY)).toEqual([
      'route shed to roof  1 m  limit 2 cables ‹1 of 2 cables›',
      // 6 A at 11.99 V by 85 %, a power factor of 0.55 and 120 V.
      'circuit garden  15 A  120 V  at shed ‹1.28 A, 9 %›',
      'supply psu "left of the door"  of bench-12  at shed  on garden { ‹6.00 A, 6 %›',
      '  output 1  fuse 10 A  cold 1 mohm ‹60 %›',
      '  outputs 2 to 3  fuse 7.5 A ‹2: 0 %›',
      'run eaves "Long edge"  from box.1  at roof { ‹6.00 A, 10.17 V at 100›',
    ]);
    expect(hinted(FED)).toContain('feed trunk  from psu.3  to eaves  10 m  of feed-14 ‹6.00 A, −0.68 V›');
  });

  it('stand in front of a comment', () => {
    expect(hinted(DISPLAY.replace('limit 2 cables', 'limit 2 cables   # "two" at most'))[0]).toBe(
      'route shed to roof  1 m  limit 2 cables ‹1 of 2 cables›   # "two" at most',
    );
  });

  it('are short, and can be asked for a part of the file', () => {
    const { analysis } = analysePlan(FED);
    for (const display of sampleDisplays()) {
      const whole = hostOfDisplay(display).analyse(display.main);
      for (const { uri, text } of whole.files)
        for (const hint of inlayHintsOf(whole, uri, { start: 0, end: text.length }))
          expect(hint.text.length, hint.text).toBeLessThanOrEqual(25);
    }
    const at = FED.indexOf('feed trunk');
    expect(inlayHintsOf(analysis, MAIN, { start: at, end: at + 5 }).map((hint) => hint.family)).toEqual(['feeds']);
  });

  it('tell on demand where the figure comes from', () => {
    const { analysis } = analysePlan(DISPLAY);
    const hints = inlayHintsOf(analysis, MAIN, { start: 0, end: DISPLAY.length });
    expect(hints.map((hint) => cardText(hint.card()).split('\n')[0])).toEqual([
      'route "shed to roof"',
      'circuit garden',
      'supply psu "left of the door"',
      'output psu.1',
      'output psu.2',
      'run eaves "Long edge"',
    ]);
  });

  it('say that a run has no power, and nothing where nothing is known', () => {
    expect(hinted(DISPLAY.replace('of board ', 'of data-board ').replace('of lead-18', 'of data-18')).at(-1)).toContain(
      '‹no power›',
    );
    expect(hinted('run a  from b.1 {\n}\nsupply s  of t\n')).toEqual([]);
  });
});

describe('formatting', () => {
  it('changes only the lines that differ', () => {
    const text = 'place shed\nplace    roof\nroute shed to roof 14 m\nplace quay\n';
    const changes = formatChanges(text);
    expect(edited(text, changes)).toBe('place shed\nplace roof\nroute shed to roof  14 m\nplace quay\n');
    expect(
      changes.every(({ start, end }) => start >= text.indexOf('place    roof') && end <= text.indexOf('place quay')),
    ).toBe(true);
  });

  it('has nothing to do in a text that is in style', () => {
    const [first] = [formatChanges(DISPLAY)];
    const styled = edited(DISPLAY, first);
    expect(formatChanges(styled)).toEqual([]);
  });

  it('keeps CR LF', () => {
    const text = 'place  shed\r\nplace roof\r\n';
    expect(edited(text, formatChanges(text))).toBe('place shed\r\nplace roof\r\n');
  });

  it('turns any text into any other, line by line', () => {
    const texts = ['', 'a', 'a\n', 'a\nb\nc\n', 'c\nb\na\n', 'a\nx\nb\ny\nc', '\n\n', 'a\r\nb\r\n'];
    for (const before of texts)
      for (const after of texts) expect(edited(before, lineChanges(before, after))).toBe(after);
  });
});
