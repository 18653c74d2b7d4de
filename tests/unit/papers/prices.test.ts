import { describe, expect, it, test } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { costsOf } from '#server/papers/costs.ts';
import { csv } from '#server/papers/csv.ts';
import type { Cell } from '#server/papers/paper.ts';
import { papersOf } from '#server/papers/papers.ts';
import { analysePlan, checkPlan, MAIN } from '../../support/plans.ts';
import { festoon, SMALL } from '../cli/console.ts';

const text = (cell: Cell) => (cell === undefined ? '' : typeof cell === 'string' ? cell : cell.text);

/** The small plan with lines added to the blocks of its parts. */
function priced(lines: Readonly<Record<string, string>>, plan = SMALL): string {
  let result = plan;
  for (const [part, line] of Object.entries(lines)) result = result.replace(`${part} {\n`, `${part} {\n  ${line}\n`);
  return result;
}

const PRICES = {
  'part pixel bullet': 'price 18.50 EUR for 50 px',
  'part cable pair': 'price 1.20 EUR',
  'part supply small': 'price 31 EUR',
  'part controller board': 'price 95.00 USD',
};

function partsPaper(plan: string) {
  const found = papersOf(analysePlan(plan).analysis).find(({ id }) => id === 'parts');
  if (found === undefined) throw new Error('no parts list');
  return found;
}

/*
 * By hand. 10 px and one spare (a twentieth, rounded up): one string of 50, 18.50 EUR. 9 m of route and half a metre at
 * each end: 10 m at 1.20 EUR, 12.00 EUR. Supply and one spare: 62.00 EUR. Together 92.50 EUR. The controller and one
 * spare: 190.00 USD, which is no part of that sum. The fuse has no price.
 */
describe('the cost of parts', () => {
  it('is summed for each currency, in whole packs', () => {
    const plan = priced(PRICES);
    checkPlan(plan);
    const tables = partsPaper(plan).tables.filter(({ id }) => id.startsWith('cost'));
    expect(tables.map(({ rows, sum }) => [...rows, sum ?? []].map((row) => row.map(text)))).toEqual([
      [
        ['bullet', '11', '18.50 EUR', '50', '1 x', '18.50 EUR'],
        ['pair', '10 m', '1.20 EUR', 'a metre', '10 m', '12.00 EUR'],
        ['small', '2', '31.00 EUR', 'one', '2', '62.00 EUR'],
        ['in all', '', '', '', '', '92.50 EUR'],
      ],
      [
        ['board', '2', '95.00 USD', 'one', '2', '190.00 USD'],
        ['in all', '', '', '', '', '190.00 USD'],
      ],
    ]);
    expect(tables[0]?.note).toContain('Not in the sum, since the plan gives no price: 2 A fuse.');
    expect(tables[0] === undefined ? '' : csv(tables[0])).toContain('part,together,price (EUR),for,to buy,cost (EUR)');
  });

  it('stands in the account and in its JSON', () => {
    const files = { '/plans/plan.festoon': priced(PRICES) };
    const told = festoon(['check', 'plan.festoon'], { files }).out;
    expect(told).toContain('Parts  92.50 EUR and 190.00 USD with spares; 1 kind of part has no price.');
    expect(JSON.parse(festoon(['solve', '--format', 'json', 'plan.festoon'], { files }).out).costs).toEqual([
      { currency: 'EUR', amount: 92.5 },
      { currency: 'USD', amount: 190 },
    ]);
    expect(festoon(['check', 'plan.festoon'], { files: { '/plans/plan.festoon': SMALL } }).out).not.toContain('Parts ');
  });

  it('is told by a review: four metres more are 4.80 EUR more', () => {
    const plan = priced(PRICES);
    const { out } = festoon(['diff', 'a.festoon', 'b.festoon'], {
      files: { '/plans/a.festoon': plan, '/plans/b.festoon': plan.replace('porch  9 m', 'porch  13 m') },
    });
    expect(out).toMatch(/cost in EUR +92\.50 EUR +→ +97\.30 EUR/);
    expect(out).not.toContain('USD');
  });

  it.each([
    // 2 x 25 px are bought for 26 px; 11 px need one.
    ['part pixel bullet', 'price 4 EUR for 25 px', 10, '4.00 EUR'],
    ['part pixel bullet', 'price 4 EUR for 25 px', 24, '8.00 EUR'],
    // A drum of 25 ft is 7.62 m: 10 m are two drums.
    ['part cable pair', 'price 20 £ for 25 ft', 10, '40.00 £'],
    // Written in front, as some do.
    ['part cable pair', 'price $ 20 for 10 m', 10, '20.00 $'],
    ['part supply small', 'price 0 kr', 10, '0.00 kr'],
  ])('%s { %s } for %i px', (part, line, pixels, sum) => {
    const plan = priced({ [part]: line }, SMALL.replace('10 px', `${pixels} px`));
    checkPlan(plan);
    const [table] = partsPaper(plan).tables.filter(({ id }) => id.startsWith('cost'));
    expect(text(table?.sum?.at(-1))).toBe(sum);
  });

  it.each([
    ['price 24.90', 'missing-phrase', /still needs currency/],
    ['price EUR', 'missing-phrase', /still needs how much/],
    ['price -3 EUR', 'impossible-value', /from 0 to/],
    ['price 3 EUR for 10 px', 'wrong-dimension', /plain number/],
    ['price 3 EUR for', 'missing-phrase', /follows "for"/],
    ['price 3 EUR USD', 'unexpected-word', /"USD" has no place/],
  ])('what is amiss with "%s" is said, and no sum is made of it', (line, code, says) => {
    const plan = priced({ 'part supply small': line });
    const { findings } = analysePlan(plan).analysis;
    expect(findings.filter((finding) => finding.code === code).map(({ message }) => message)).toEqual([
      expect.stringMatching(says),
    ]);
    if (code !== 'unexpected-word') expect(partsPaper(plan).tables.map(({ id }) => id)).toEqual(['parts']);
  });

  it('follows an edit as if the plan were read anew', () => {
    const { host } = analysePlan(priced(PRICES));
    const edits = [
      priced({ ...PRICES, 'part cable pair': 'price 1.50 EUR' }),
      priced({ ...PRICES, 'part cable pair': 'price 1.50 CHF for 20 m' }),
      priced(PRICES, SMALL.replace('  frame-rate 40 fps\n', '  frame-rate 40 fps\n  spares devices 3\n')),
      SMALL,
    ];
    for (const edit of edits) {
      host.setFile(MAIN, edit);
      expect(costsOf(host.analyse(MAIN).plan)).toEqual(costsOf(analysePlan(edit).analysis.plan));
    }
  });

  it('is offered in the currencies of the plan, and shown where a part is pointed at', () => {
    const plan = priced(PRICES).replace('price 31 EUR', 'price 31 ');
    const { analysis } = analysePlan(plan);
    const labels = (completeAt(analysis, MAIN, plan.indexOf('price 31 ') + 'price 31 '.length)?.items ?? []).map(
      ({ label }) => label,
    );
    expect(labels.slice(0, 2)).toEqual(['EUR', 'USD']);
    const card = hoverAt(analysePlan(priced(PRICES)).analysis, MAIN, priced(PRICES).indexOf('bullet {'));
    expect(JSON.stringify(card)).toContain('18.50 EUR for 50');
  });

  it('does not take the sign of a currency for a name', () => {
    const { findings } = analysePlan(`${SMALL}\nplace €`).analysis;
    expect(findings.map(({ code }) => code)).toContain('missing-name');
  });

  it('keeps amount and currency together when it is formatted', () => {
    expect(formatText('part supply a {\nprice   24.90    EUR   for   10\n}\n')).toContain(
      'price        24.90 EUR for 10',
    );
  });
});

describe('spares', () => {
  const spares = (line: string) =>
    partsPaper(SMALL.replace('  frame-rate 40 fps\n', `  frame-rate 40 fps\n  ${line}\n`));

  it('are as many as the plan says', () => {
    // 30 % of 10 px; a tenth of 10 m; no second supply or controller; five fuses.
    const paper = spares('spares pixels 30 %  cable 10 %  devices 0  fuses 5');
    expect(paper.tables[0]?.rows.map((row) => row.map(text).slice(1, 5))).toEqual([
      ['bullet', '10', '3', '13'],
      ['pair', '10 m', '1 m', '11 m'],
      ['small', '1', '', '1'],
      ['board', '1', '', '1'],
      ['2 A fuse', '1', '5', '6'],
    ]);
    expect(paper.intro).toContain('as the plan says, else by common practice');
  });

  it('are those of common practice where it says nothing of them', () => {
    expect(spares('').intro).toContain(
      'Spares by common practice: 5 % of the pixels, 5 % of the connectors, 1 of each kind of device, 2 of each fuse.',
    );
    expect(spares('spares fuses 3').intro).toContain('3 of each fuse');
    const all = 'spares pixels 30 %  connectors 20 %  cable 10 %  devices 0  fuses 5';
    expect(spares(all).intro).toContain('Spares as the plan says: 30 % of the pixels, 20 % of the connectors, 10 %');
  });
});

test('the energy of a season without a price has no cost, and no price is told', () => {
  const season = (line: string) =>
    papersOf(analysePlan(SMALL.replace('  frame-rate 40 fps\n', `  frame-rate 40 fps\n  ${line}\n`)).analysis).find(
      ({ id }) => id === 'season',
    );
  const priced = season('season 30 nights of 4 h  price 0.30 per-kWh');
  expect(priced?.intro).toContain('The price is 0.30 for a kWh.');
  expect(priced?.tables[0]?.rows[0]?.[2]).toBeDefined();
  const free = season('season 30 nights of 4 h');
  expect(free?.intro).not.toContain('price');
  expect(free?.tables[0]?.rows.map((row) => row[2])).toEqual([undefined]);
});

test('a figure that is none is an empty cell', () => {
  const cell = (value: number) => csv({ id: 'x', columns: [{ title: 'volts' }], rows: [[{ value, text: '–' }]] });
  expect(cell(11.5)).toBe('volts\r\n11.5\r\n');
  expect(cell(Number.NaN)).toBe('volts\r\n\r\n');
  expect(cell(Number.POSITIVE_INFINITY)).toBe('volts\r\n\r\n');
});
