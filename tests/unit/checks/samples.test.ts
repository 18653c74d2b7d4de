import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { CHECK_BY_CODE } from '#server/checks/registry.ts';
import { hostOfDisplay, STOCK, sampleDisplays, textOf } from '../../support/samples.ts';

const displays = sampleDisplays();
const flawed = displays.filter(({ name }) => name.includes('/flawed/'));

describe('the samples', () => {
  it.each(displays.filter((display) => !flawed.includes(display)).map((display) => [display.name, display] as const))(
    '%s is sound',
    (_, display) => {
      const { findings } = hostOfDisplay(display).analyse(display.main);
      expect(findings.map(({ code, message }) => `${code}: ${message}`)).toEqual([]);
    },
  );

  it.each(displays.flatMap(({ files }) => [...files]))('%s is formatted', (_, text) => {
    expect(formatText(text)).toBe(text);
  });

  it('take their parts from the stock, word for word', () => {
    const stock = partsOf(textOf(STOCK));
    for (const { name, files } of displays) {
      for (const text of files.values())
        for (const [part, words] of partsOf(text)) expect([name, part, words]).toEqual([name, part, stock.get(part)]);
    }
    // The stock says of every part where its values come from.
    expect([...stock].filter(([, words]) => !/^ {2}source +"/m.test(words)).map(([part]) => part)).toEqual([]);
    expect(stock.size).toBeGreaterThan(20);
  });

  it('are all told of in their README', () => {
    const told = [...textOf('README.md').matchAll(/^\| `([^`]+)`/gm)].map(([, folder]) => folder);
    const folders = displays.map(({ name }) => name.slice(0, name.lastIndexOf('/')));
    expect(told.sort()).toEqual(folders.sort());
  });
});

describe('the boathouse', () => {
  const display = displays.find(({ name }) => name === 'boathouse/plan.festoon');
  const { plan, account } = hostOfDisplay(display ?? { name: '', main: '', files: new Map() }).analyse(
    display?.main ?? '',
  );
  const pieces = [...plan.runs.values()].flatMap((run) => run.pieces);
  const feeds = [...plan.feeds.values()];

  it('is a display of a real size', () => {
    const pixels = [...plan.runs.values()].reduce((sum, run) => sum + run.pixelCount, 0);
    expect(pixels).toBeGreaterThanOrEqual(4000);
    expect(textOf('README.md')).toContain(`${pixels.toLocaleString('en')} pixels`);
    expect(plan.runs.size).toBeGreaterThanOrEqual(8);
    expect(plan.supplies.size).toBeGreaterThanOrEqual(3);
    expect(plan.controllers.size).toBeGreaterThanOrEqual(2);
  });

  it('has props of all kinds, copies among them, and two voltages', () => {
    const keywords = new Set(pieces.flatMap((piece) => (piece.kind === 'string' ? [piece.line.keyword] : [])));
    expect([...keywords].sort()).toEqual(['arch', 'matrix', 'outline', 'ring', 'star', 'string', 'tree']);
    expect(pieces.some((piece) => piece.kind === 'string' && (piece.copies?.number ?? 0) > 1)).toBe(true);
    expect(new Set(pieces.flatMap((piece) => (piece.kind === 'string' ? [piece.part.volts] : [])))).toEqual(
      new Set([5, 12]),
    );
  });

  it('has a trunk, doubled conductors, a cut, a bond, circuits and routes with limits', () => {
    expect(feeds.some((feed) => feed.pieces.filter((piece) => piece.kind === 'tap').length >= 4)).toBe(true);
    expect(feeds.some((feed) => feed.pieces.some((piece) => piece.kind === 'cable' && piece.parallel === 2))).toBe(
      true,
    );
    expect(pieces.some((piece) => piece.kind === 'cut')).toBe(true);
    expect(plan.bonds.size).toBeGreaterThan(0);
    expect(plan.circuits.size).toBeGreaterThan(0);
    expect(plan.routes.filter((route) => route.most !== undefined).length).toBeGreaterThan(0);
  });

  it('balances: what the supplies give is what the pixels and the boards draw', () => {
    const given = [...account.supplies.values()].reduce((sum, { amps }) => sum + amps, 0);
    const pixels = [...account.runs.values()].reduce((sum, { amps }) => sum + amps, 0);
    const boards = [...plan.controllers.values()].reduce((sum, { part }) => sum + (part?.draws ?? 0), 0);
    expect(given).toBeCloseTo(pixels + boards, 6);
  });
});

describe('the first draft of the boathouse', () => {
  it.each(flawed.map((display) => [display.name, display] as const))(
    '%s: its story tells of every finding',
    (_, display) => {
      const { findings } = hostOfDisplay(display).analyse(display.main);
      const story = textOf('boathouse/flawed/README.md');
      const told = new Set([...story.matchAll(/`([a-z-]+)`/g)].flatMap(([, code]) => code ?? []));
      const codes = new Set(findings.map(({ code }) => code));
      expect([...codes].filter((code) => !told.has(code))).toEqual([]);
      expect([...told].filter((code) => CHECK_BY_CODE.has(code) && !codes.has(code))).toEqual([]);
      expect(codes.size).toBeGreaterThanOrEqual(12);
    },
  );

  it('finds nothing on its eaves but that they sag', () => {
    const [display] = flawed;
    if (display === undefined) throw new Error('the sample is gone');
    const { findings } = hostOfDisplay(display).analyse(display.main);
    expect(findings.filter(({ subject }) => subject === 'eaves').map(({ code }) => code)).toEqual(['low-voltage']);
  });
});

/** The part declarations of a file by kind and name, with the description above and without the comments. */
function partsOf(text: string): Map<string, string> {
  const parts = new Map<string, string>();
  for (const [words, kind, name] of text.matchAll(/^(?:##[^\n]*\n)*part (\w+) ([\w-]+)[^\n]*\{\n(?: [^\n]*\n)*\}/gm))
    parts.set(`${kind} ${name}`, words);
  return parts;
}
