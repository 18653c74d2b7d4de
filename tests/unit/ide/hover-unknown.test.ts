import { expect, it } from 'vitest';
import { hoverAt } from '#server/ide/hover.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { codeSpan } from '#server/ide/markdown.ts';
import { relativePath } from '#server/ide/relative-path.ts';
import { marked } from '../../support/marked.ts';

/** What a card says, and leaves away, where the plan does not state something. */
function facts(plan: string): Record<string, string> {
  const { analysis, uri, offset } = marked(plan);
  const found = hoverAt(analysis, uri, offset)?.card.facts ?? [];
  return Object.fromEntries(
    found.map(({ label, value, note }) => [label, note === undefined ? value : `${value} (${note})`]),
  );
}

const LEAKING = `part supply leaky {
  voltage  12 V
  rated    20 A
  leakage  0.5 mA
}
part cable flex {
  conductor 1.5 mm2
  carries   line neutral earth
  rated     10 A
}
`;

it('leakage stands alone where no residual-current device is stated, and says whose is not', () => {
  const plan = (other: string) => `${LEAKING}part supply silent {\n  voltage 12 V\n  rated 20 A\n}
circuit |garden  15 A  120 V
supply a  of leaky  on garden
supply b  of ${other}  on garden
`;
  expect(facts(plan('leaky'))).toMatchObject({
    'leakage, all together': '1 mA (the circuit states no residual-current device)',
  });
  expect(facts(plan('silent'))).toMatchObject({ 'leakage, all together': '0.5 mA (1 not stated)' });
});

it('an extension lead tells what is known of it', () => {
  const lead = (circuit: string) =>
    facts(`${LEAKING}circuit |garden  ${circuit}\nsupply a  of leaky  on garden\n`)['extension lead'];
  // Nothing hangs on the supply.
  expect(lead('15 A  120 V  extension 10 m  cord flex')).toMatch(
    /^10 m of flex \(loses 0\.00 V, 0\.0 %, 0 mA of 10 A \(.*\)\)$/,
  );
  expect(lead('15 A  extension 10 m  cord flex')).toMatch(/^10 m of flex \(0 mA of 10 A \(.*\)\)$/);
  expect(lead('15 A  120 V  extension 10 m  cord nobodys')).toBe('10 m of an unknown cord');
});

it('code has no marks around nothing', () => {
  expect(codeSpan('')).toBe('');
  expect(codeSpan('a')).toBe('`a`');
});

it('no path leads to a file whose name would end it or read as a folder', () => {
  const from = 'file:///display/plan.festoon';
  expect(relativePath(from, 'file:///display/parts/stock.festoon')).toBe('parts/stock.festoon');
  for (const name of ['a%22b', 'a%5Cb', 'a%0Ab'])
    expect(relativePath(from, `file:///display/${name}.festoon`)).toBeUndefined();
});

it('a cable of which no table says what it carries has no share of a rating', () => {
  const plan = (word: string) => `use "bench.festoon"
part cable hair {
  conductor 28 AWG
  carries   V+ ground
}
supply psu  of bench-12 {
  output 1  fuse 1 A
}
board ${word === 'board' ? '|' : ''}side  from psu.1  1 m  of hair {
  output 1  fuse 1 A
}
run row {
  string 1 px  of steady-12  every 50 mm
}
feed ${word === 'feed' ? '|' : ''}up  from side.1  to row.start  2 m  of hair
`;
  expect(facts(plan('board'))).toMatchObject({ cable: '1 m of hair' });
  expect(facts(plan('feed'))).toMatchObject({ cable: '2 m of hair' });
});

it('a share that the plan states has no other source', () => {
  const plan = (more: string) => `circuit |garden  15 A  120 V${more}\n${LEAKING}supply a  of leaky  on garden\n`;
  expect(facts(plan(''))['load']).toMatch(/at most 80 % for a load that lasts \(.+\)/);
  expect(facts(plan('  continuous 90 %'))['load']).toMatch(/at most 90 % for a load that lasts\)$/);
});

it('a flood whose cord is no wire has none', () => {
  const flood = (cord: string) => `part flood |wash {\n  voltage 12 V\n  draws 1 A\n  cord ${cord}\n}\n`;
  expect(facts(flood('2 m of 18 AWG'))['cord']).toMatch(/^2 m of 18 AWG/);
  expect(facts(flood('2 m of 99 AWG'))['cord']).toBeUndefined();
});

it('many universes are told as far as a line holds them', () => {
  // Ten runs of one pixel each, in every second universe.
  const runs = Array.from({ length: 10 }, (_, index) => index + 1).map(
    (number) => `run r${number}  from box.${number}  universe ${2 * number} {\n  string 1 px  of dot  every 50 mm\n}\n`,
  );
  const plan = (count: number) => `part pixel dot {\n  voltage 12 V\n  red 1 mA\n  wire 18 AWG\n}
part controller wide {\n  ports 16\n}\ncontroller |box  of wide\n${runs.slice(0, count).join('')}`;
  expect(facts(plan(8))['universes']).toBe('2, 4, 6, 8, 10, 12, 14, 16');
  expect(facts(plan(10))['universes']).toBe('2, 4, 6, 8, 10, 12, 14, 16, …');
});

it('of a supply of an unknown part nothing is said to be 0: its part is what is missing', () => {
  const plan = (before: string) => `use "bench.festoon"
supply psu  of nobodys  {
  set     12 V
  output  1  fuse 5 A
}
run row {
  string 1 px  of steady-12  every 50 mm
}
feed ${before}up  from psu.1  to row.start  2 m  of feed-14
`;
  const { analysis, uri } = marked(plan('|'));
  const { plan: read, account } = analysis;
  expect([read.supplies.size, account.supplies.size, account.outputs.size]).toEqual([1, 0, 0]);
  const at = (text: string) => hoverAt(analysis, uri, plan('').indexOf(text))?.card;
  const supply = at('psu  of');
  expect(supply?.facts.map(({ label, value }) => [label, value])).toEqual([
    ['set to', '12.00 V'],
    ['output 1', 'up'],
  ]);
  expect(supply?.notes).toEqual(['Nothing is computed for it, since its part is not known.']);
  expect(inlayHintsOf(analysis, uri, { start: 0, end: plan('').indexOf('run row') })).toEqual([]);
});
