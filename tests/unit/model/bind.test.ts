import { describe, expect, it } from 'vitest';
import { readSource } from '#grammar/source.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { bindLine } from '#server/model/bind/bind.ts';
import type { Bound, Measure, Range } from '#server/model/bound.ts';
import { collector, type Finding } from '#server/model/finding.ts';

/** A line of text bound to an entry of the vocabulary. */
function bind(text: string, entry: Entry): { bound: Bound<Entry> | undefined; findings: readonly Finding[] } {
  const file = readSource('file:///plan.festoon', text);
  const [declaration] = file.declarations;
  const [statement] = declaration?.statements ?? [];
  if (declaration === undefined || statement === undefined) throw new Error(`nothing stands in: ${text}`);
  expect(declaration.problems).toEqual([]);
  expect(declaration.statements.length).toBe(1);
  const { findings, report } = collector();
  const bound = bindLine({ uri: file.uri, declaration, report }, statement, [entry], 'a test');
  return { bound: bound as Bound<Entry> | undefined, findings };
}

/** Every entry that there is, with the path to it: "run / lead". */
const ENTRIES: (readonly [string, Entry])[] = STATEMENTS.flatMap((entry: Entry) => [
  [entry.word, entry] as const,
  ...(entry.block ?? []).map((line) => [`${entry.word} / ${line.word}`, line] as const),
]);

/** Lines for the phrases that the examples leave out; the reference shows them in its table of phrases. */
const MORE: Readonly<Record<string, readonly string[]>> = {
  'part pixel / red': ['red 18.5 mA  resistor 324 ohm'],
  'part pixel / green': ['green 18.5 mA  resistor 324 ohm'],
  'part pixel / blue': ['blue 18.5 mA  resistor 324 ohm'],
  'part pixel / white': ['white 18.5 mA  resistor 324 ohm'],
  'part pixel / chain': ['chain 18.5 mA  resistor 324 ohm'],
  'part pixel / wire': ['wire 0.5 mm2  copper-clad'],
  'part pixel / data': ['data 32 bits at 1000 kHz  clocked  start 32 bits  end 0.5 bits'],
  'plan / network': ['network 1 Gbps  load 70 %  synchronised'],
  'part cable / conductor': ['conductor 1.5 mm2  copper-clad'],
  circuit: [
    'circuit garden "the socket outside"  16 A  230 V  trip C  continuous 100 %  extension 20 m cord rubber-1-5',
  ],
  supply: ['supply psu "grey box"  of enclosed  at shed  on garden  extension 5 m cord rubber-1-5  box-rise 20 K'],
  mast: [
    'mast spruce "in the yard"  at foot {\n  height 7 m\n  sail 2 m2\n  wind 25 m/s\n  guys 4  at 5 m  radius 4 m\n}',
  ],
  'supply / output': ['output 3  fuse 5 A  cold 17 mohm'],
  board: ['board left  from psu.1  along shed to roof  of flex-6 x 2 {\n}'],
  'board / output': ['output 3  fuse 5 A  cold 17 mohm'],
  receiver: [
    'receiver north "in the tree"  of differential-4  at quay  from psu.1 {\n  link from box.13  3 m  of pairs\n}',
  ],
  'receiver / link': ['link from box.13  along shed to quay  of network-cable'],
  controller: ['controller box "in the loft"  of sixteen-port  at shed  from psu.1'],
  'controller / universes': ['universes from 7  split'],
  run: ['run eaves "the long edge"  from box.1  at roof  universe 7 slot 31  no-tap'],
  route: ['route shed to roof  5 m  last-year 2 cables'],
  expect: [
    'expect feed a at most 5 A',
    'expect supply psu at most 20 A',
    'expect circuit garden at most 10 A',
    'expect route shed to roof at most 4 cables',
  ],
  accept: [
    'accept route-crowded  along shed to roof  because "one more"',
    'accept low-voltage  everywhere  because "it is dimmed"',
  ],
  'run / lead': ['lead along shed to roof  of three-core-18'],
  'run / panels': ['panels front "sign"  2 rows x 4 columns  of p5  ribbon 0.2 m  through flat'],
  'run / gap': ['gap 0.9 m  of three-core-18'],
  'run / copies': ['copies flakes "ten of them"  10  of snowflake  gap 1.2 m  through three-core-18'],
  'prop / gap': ['gap 0.9 m  of three-core-18'],
  feed: ['feed eaves-end "blue tape"  from psu.1  to eaves.end  of two-core x 2  along shed to roof  with blade'],
  'feed / cable': ['cable of two-core x 2  along shed to roof'],
  'feed / tap': ['tap eaves.end  with blade'],
};
for (const part of ['panel', 'flood', 'supply', 'controller', 'receiver'])
  (MORE as Record<string, string[]>)[`part ${part} / price`] = ['price 24.90 EUR for 10'];
for (const where of ['prop', 'run']) {
  for (const word of ['string', 'outline', 'arch', 'star', 'ring'])
    (MORE as Record<string, string[]>)[`${where} / ${word}`] = [
      `${word} one "label"  5 px  of bullet  every 75 mm  no-tap`,
    ];
  (MORE as Record<string, string[]>)[`${where} / null`] = ['null 2 px  of bullet  every 75 mm'];
  for (const word of ['matrix', 'tree'])
    (MORE as Record<string, string[]>)[`${where} / ${word}`] = [
      `${word} one "label"  2 strands x 5 px  of bullet  every 75 mm  spacing 0.2 m  serpentine  no-tap`,
      `${word} 2 strands x 5 px  of bullet  every 75 mm  straight`,
    ];
}

describe.each(ENTRIES)('%s', (path, entry) => {
  const lines = [entry.example, ...(MORE[path] ?? [])];

  it.each(lines)('%s', (line) => {
    const { bound, findings } = bind(line, entry);
    expect(findings.map((finding) => finding.message)).toEqual([]);
    expect(bound?.word).toBe(entry.word);
  });

  it('has every phrase in one of these lines', () => {
    const seen = new Set(lines.flatMap((line) => Object.keys(bind(line, entry).bound?.fields ?? {})));
    expect(entry.phrases.map((phrase) => phrase.key).filter((key) => !seen.has(key))).toEqual([]);
  });
});

it('no lines stand here for entries that are gone', () => {
  const paths = new Set(ENTRIES.map(([path]) => path));
  expect(Object.keys(MORE).filter((path) => !paths.has(path))).toEqual([]);
});

describe('quantities in SI units', () => {
  /** The value that a line of a block gives for one of its phrases. */
  function given<T>(statement: string, line: string, key: string): T {
    const entry = ENTRIES.find(([path]) => path === `${statement} / ${line.split(' ')[0] ?? ''}`)?.[1];
    if (entry === undefined) throw new Error(`no such line: ${line}`);
    const { bound, findings } = bind(line, entry);
    expect(findings).toEqual([]);
    const found = Object.entries(bound?.fields ?? {}).find(([name]) => name === key)?.[1];
    if (found === undefined) throw new Error(`nothing is given in: ${line}`);
    return found.value as T;
  }

  // International yard and pound agreement of 1959: 1 in = 25.4 mm, 1 ft = 12 in, 1 yd = 3 ft.
  it.each([
    ['14 m', 14],
    ['75 mm', 0.075],
    ['75mm', 0.075],
    ['3 cm', 0.03],
    ['0.5 km', 500],
    ['8 ft 4 in', 2.54],
    ['100 in', 2.54],
    ['1 yd', 0.9144],
  ])('%s', (text, metres) => {
    expect(given<Measure>('prop', `gap ${text}`, 'length').si).toBeCloseTo(metres, 12);
  });

  it('temperatures either way', () => {
    const { from, to } = given<Range>('plan', 'air 14 degF to 86 degF', 'range');
    // 14 F and 86 F are -10 C and 30 C exactly.
    expect(from).toBeCloseTo(-10, 12);
    expect(to).toBeCloseTo(30, 12);
  });
});

describe('a phrase whose word is followed by something else', () => {
  const circuit = STATEMENTS.find(({ word }) => word === 'circuit') as Entry;
  const feed = STATEMENTS.find(({ word }) => word === 'feed') as Entry;

  it.each([
    [circuit, 'circuit garden  16 A  230 V  trip 5 A', 'trip'],
    [circuit, 'circuit garden  16 A  230 V  trip', 'trip'],
    [circuit, 'circuit garden  16 A  230 V  at 5 m', 'at'],
    [circuit, 'circuit garden  16 A  230 V  continuous C', 'continuous'],
    [feed, 'feed up  from 5 A', 'from'],
    [feed, 'feed up  along "x"', 'along'],
  ])('%# %s says so at that word', (entry, line, word) => {
    const { findings } = bind(line, entry);
    expect(findings.map(({ message }) => message)).toContainEqual(
      expect.stringContaining(`Nothing that fits follows "${word}".`),
    );
    const { origin } = findings.find(({ message }) => message.startsWith('Nothing that fits')) as Finding;
    expect(line.slice(origin.start, origin.end)).toBe(word);
  });
});
