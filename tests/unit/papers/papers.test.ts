import { expect, test } from 'vitest';
import { cablesOf } from '#server/papers/cable-list.ts';
import { csv } from '#server/papers/csv.ts';
import { htmlReport } from '#server/papers/html.ts';
import type { Cell, Paper } from '#server/papers/paper.ts';
import { papersOf } from '#server/papers/papers.ts';
import { analysePlan } from '../../support/plans.ts';
import { SMALL } from '../cli/console.ts';

const text = (cell: Cell) => (cell === undefined ? '' : typeof cell === 'string' ? cell : cell.text);

function paper(plan: string, id: string): Paper {
  const { analysis } = analysePlan(plan);
  const found = papersOf(analysis).find((each) => each.id === id);
  if (found === undefined) throw new Error(`no paper ${id}`);
  return found;
}

const rowsOf = ({ tables }: Paper) => tables.flatMap(({ rows }) => rows.map((row) => row.map(text)));

test('the parts list counts what the plan uses', () => {
  // 10 px, a twentieth of it rounded up; the route of 9 m and half a metre of slack at each end; one of each device.
  expect(rowsOf(paper(SMALL, 'parts')).map((row) => row.slice(0, 5))).toEqual([
    ['pixels', 'bullet', '10', '1', '11'],
    ['cable', 'pair', '10 m', '', '10 m'],
    ['supply', 'small', '1', '1', '2'],
    ['controller', 'board', '1', '1', '2'],
    ['fuse', '2 A fuse', '1', '2', '3'],
  ]);
});

test('the cut list says what each cable joins, with the longest first', () => {
  const plan = `${SMALL}
feed second  from psu.1  to porch-edge.end  12 m  of pair x 2`;
  const [first, second, ...rest] = rowsOf(paper(plan, 'cuts'));
  // Of the 10 m, half a metre at each end is slack; the 12 m are as the plan states them.
  expect(first?.slice(2, 8)).toEqual([
    '12 m',
    '',
    'x 2',
    'second (feed)',
    'psu.1, at shed, ferrule',
    'porch-edge.end, splice',
  ]);
  expect(second?.slice(2)).toEqual([
    '10 m',
    '1 m',
    '',
    'porch-feed (feed)',
    'psu.1, at shed, ferrule',
    'porch-edge, splice',
    'shed – porch',
  ]);
  expect(paper(plan, 'cuts').tables[0]?.note).toMatch(/^2\.5 mm2, V\+ ground/);
  expect(rest).toEqual([]);
  // 12 m twice and 10 m.
  expect(paper(plan, 'cuts').tables[0]?.sum?.map(text)).toContain('34 m');
});

test('a cable keeps its code when others come and go, and both its ends say the same', () => {
  const code = (plan: string) =>
    cablesOf(analysePlan(plan).analysis.plan).find(({ owner }) => owner === 'porch-feed')?.code;
  expect(code(SMALL)).toMatch(/^[2-9A-Z]{4}$/);
  expect(code(`${SMALL}\nfeed second  from psu.1  to porch-edge.end  12 m  of pair`)).toBe(code(SMALL));
  expect(code(SMALL.replace('along shed to porch', '14 m'))).toBe(code(SMALL));
  expect(code(SMALL.replace('to porch-edge ', 'to porch-edge.end '))).not.toBe(code(SMALL));
});

test('the voltages to expect are those of the hand calculation', () => {
  // 10 px x 60 mA = 0.6 A. Fuse 50 mohm; 10 m of 2.5 mm2 at 7.98 mohm/m (IEC 60228 class 5, 20 degC) is 79.8 mohm a
  // conductor, at 40 degC, the warmest air of a plan that says nothing, 0.393 % a kelvin more: 86.1 mohm.
  // 12 V - 0.6 A x (0.05 + 2 x 0.0861) ohm = 11.87 V.
  const volts = rowsOf(paper(SMALL, 'volts'));
  expect(volts.find(([name]) => name === 'porch-edge')?.slice(0, 3)).toEqual(['porch-edge', 'porch-feed', '11.87 V']);
});

test('the address table says where each port starts, in the order of the ports', () => {
  // 10 px x 3 slots behind 171 px, of which 170 fill universe 1 to slot 510. The dark pixel takes none.
  const plan = SMALL.replace(
    'run porch-edge',
    `run long  from box.2 {
  string 171 px  of bullet  every 100 mm
  null 1 px  of bullet
  string 1 px  of bullet  every 100 mm
}
run porch-edge`,
  );
  expect(rowsOf(paper(plan, 'addresses'))).toEqual([
    ['1', 'porch-edge', '2', '7', '36', '1', '10'],
    ['2', 'long', '1', '1', '510', '1', '170'],
    ['', '', '2', '1', '3', '171', '171'],
    ['', '', '2', '4', '6', '173', '173'],
  ]);
});

test('what is wrong with a plan stands on the first sheet', () => {
  const summary = paper(SMALL.replace('fuse 2 A', 'fuse 500 mA'), 'summary');
  expect(summary.intro).toMatch(/^Do not build from these papers yet: the plan has 1 finding/);
  expect(rowsOf(summary).some(([, code]) => code === 'fuse-overloaded')).toBe(true);
});

test('every sheet bears the cautions, and the same plan gives the same bytes', () => {
  const html = () => htmlReport({ title: 'Porch', foot: 'x' }, papersOf(analysePlan(SMALL).analysis));
  const sheets = html().split('<section').slice(1);
  expect(sheets.length).toBeGreaterThanOrEqual(8);
  for (const sheet of sheets) expect(sheet).toContain('licensed electrician');
  expect(html()).toBe(html());
  expect(html()).not.toMatch(/https?:|<script|javascript:/);
});

const HOSTILE = ['<img src=x onerror=alert(1)>', '"><script>', '=1+1', '\u202egnp.exe', "'--", '&lt;'];

test.each(HOSTILE)('a label of %j is shown as it is and runs nowhere', (label) => {
  const plan = SMALL.replace('place shed', `place shed ${JSON.stringify(label).replaceAll('\\"', "'")}`);
  const { analysis } = analysePlan(plan);
  const papers = papersOf(analysis);
  const html = htmlReport({ title: label, foot: label }, papers);
  expect(html).not.toMatch(/<img|<script|\u202e/);
  for (const table of papers.flatMap(({ tables }) => tables))
    for (const line of csv({ ...table, rows: [...table.rows, [label]] }).split('\r\n'))
      expect(line).not.toMatch(/^"?[=+@-]/);
});

test('CSV quotes what RFC 4180 asks for', () => {
  const table = {
    id: 't',
    columns: [{ title: 'a' }, { title: 'b', unit: 'm' }],
    rows: [['x, "y"', { text: '1.5 m', value: 1.5 }]],
  };
  expect(csv(table)).toBe('a,b (m)\r\n"x, ""y""",1.5\r\n');
});

test('what is accepted stands on paper with its reason, and what no check could look at is said', () => {
  const plan = `${SMALL.replace('least   11 V', 'least   11.95 V')}
accept low-voltage  of porch-edge  because "it is dimmed"`;
  const checked = paper(plan, 'checked');
  const [accepted] = checked.tables;
  expect(accepted?.rows.map((row) => row.map(text)).map((row) => [row[0], row[3]])).toEqual([
    ['low-voltage', 'it is dimmed'],
  ]);
  // This plan has no mast, so nothing can be said of guys.
  expect(checked.tables.map(({ id }) => id)).toEqual(['accepted', 'checked', 'not-checked']);
  expect(paper(plan, 'summary').intro).toBe('The plan checks clean.');
});

test('a supply that has nothing left in its warm box shows no share of it', () => {
  // 100 % at 30 degC and 50 % at 40 degC, so 0 % from 50 degC on; the air of 60 degC is above that.
  const plan = SMALL.replace('rated   5 A', 'rated   5 A\n  derate above 30 degC  to 50 %  at 40 degC').replace(
    'frame-rate 40 fps',
    'frame-rate 40 fps\n  air 0 degC to 60 degC',
  );
  expect(plan).toContain('derate');
  const row = rowsOf(paper(plan, 'summary')).find(([name]) => name === 'psu');
  expect(row?.[3]).toBe('5 A');
  expect(row?.[4]).toBe('0 mA');
  expect(row?.[5]).toBe('');
});
