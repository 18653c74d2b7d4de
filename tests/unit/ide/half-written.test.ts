import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { LEXER } from '#grammar/tokens.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import { cardText } from '#server/ide/card.ts';
import { lineChanges } from '#server/ide/format.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { holdFindings, holdOutputs, holdPlace, holdViews } from '../../support/fuzz/plan-invariants.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';
import { sampleDisplays } from '../../support/samples.ts';

/** A plan on its way: whatever is still missing, what there is can be looked at, and what is missing is named. */
const parts = STATEMENTS.filter(({ word }) => word.startsWith('part '));

it.each(parts.map(({ word }) => word))('%s without any line has a card, and nothing is made up', (word) => {
  const text = `${word} plain {\n}\n`;
  const { analysis } = analysePlan(text);
  holdFindings(analysis, text);
  const card = hoverAt(analysis, MAIN, text.indexOf('plain'))?.card;
  expect(card?.name).toBe('plain');
  expect(card === undefined ? '' : cardText(card)).not.toMatch(/NaN|undefined|Infinity/);
  expect(card?.facts?.find(({ label }) => label === 'source')?.value).toBe('the part does not name one');
});

describe('a price', () => {
  const factsOf = (text: string, name: string) => {
    const { analysis } = analysePlan(text);
    const facts = hoverAt(analysis, MAIN, text.indexOf(name))?.card.facts ?? [];
    return Object.fromEntries(facts.map(({ label, value }) => [label, value]));
  };

  it('of a cable is that of a length, one metre where none is given', () => {
    const cable = (price: string) => `part cable cord {\n  conductor 1.5 mm2\n  price ${price}\n}\n`;
    expect(factsOf(cable('1.20 EUR'), 'cord')['price']).toMatch(/^1\.20 EUR for 1(?:\.00)? m$/);
    expect(factsOf(cable('60 EUR for 50 m'), 'cord')['price']).toMatch(/^60(?:\.00)? EUR for 50(?:\.0)? m$/);
  });

  it('of other parts is that of one, or of a pack', () => {
    const joiner = (price: string) => `part connector plug {\n  rated 5 A\n  price ${price}\n}\n`;
    expect(factsOf(joiner('1.20 EUR'), 'plug')['price']).toBe('1.20 EUR');
    expect(factsOf(joiner('9.80 EUR for 10'), 'plug')['price']).toBe('9.80 EUR for 10');
  });
});

/** Some lines of each sample left out in turn, and all that stands behind them. */
describe.each(sampleDisplays().filter(({ main }) => main.endsWith('/plan.festoon')))('$name', ({ main, files }) => {
  const text = files.get(main) ?? '';
  const lines = text.split('\n');
  const step = Math.max(1, Math.floor(lines.length / 8));
  const at = [...lines.keys()].filter((index) => index % step === 0 && (lines[index] ?? '').trim() !== '');
  const all = [...files.values()].join('\n');

  it.each(at)('without its line %i', (index) => hold(lines.filter((_, other) => other !== index).join('\n')));
  it.each(at)('up to its line %i', (index) => hold(lines.slice(0, index).join('\n')));

  function hold(cut: string) {
    const beside = [...files].filter(([uri]) => uri !== main);
    const named = beside.map(([uri, other]) => `#-- ${uri.slice(uri.lastIndexOf('/') + 1)}\n${other}`);
    const { analysis } = analysePlan([cut, ...named].join('\n'));
    holdFindings(analysis, all);
    holdViews(analysis, MAIN, all);
    holdOutputs(analysis, all);
    const { tokens } = LEXER.tokenize(cut);
    for (const { startOffset } of tokens.filter((_, place) => place % 7 === 0))
      holdPlace(analysis, MAIN, startOffset, all);
  }
});

describe('the layout of a long text', () => {
  it('is one change where comparing its lines would take too long, and gives the same text', () => {
    // 2,100 x 2,100 lines are more than the four million pairs that are compared.
    const before = Array.from({ length: 2100 }, (_, index) => `place   p${index}\n`).join('');
    const after = formatText(before);
    const changes = lineChanges(before, after);
    expect(changes).toHaveLength(1);
    const [{ start, end, text } = { start: 0, end: 0, text: '' }] = changes;
    expect(before.slice(0, start) + text + before.slice(end)).toBe(after);
  });
});
