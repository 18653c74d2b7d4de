import { describe, expect, it } from 'vitest';
import { parse } from '#grammar/parser.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { entrySnippet } from '#server/ide/completion/snippet.ts';
import { DISPLAY } from '../../support/display.ts';
import { edited, marked } from '../../support/marked.ts';
import { filled } from '../../support/snippet.ts';

/** What is offered at the cursor, best first. */
function offered(plan: string, afterBlank = false) {
  const { analysis, uri, offset } = marked(plan);
  const found = completeAt(analysis, uri, offset, afterBlank);
  return found?.items ?? [];
}

const labels = (plan: string, afterBlank = false) => offered(plan, afterBlank).map((item) => item.label);

/** The text after taking a suggestion; the rest of the word stays, or is replaced too. */
function taken(plan: string, label: string, whole = false): string {
  const { analysis, uri, text, offset } = marked(plan);
  const found = completeAt(analysis, uri, offset);
  const item = found?.items.find((candidate) => candidate.label === label);
  if (found === undefined || item === undefined) throw new Error(`${label} is not offered`);
  return edited(text, [{ start: found.start, end: whole ? found.wordEnd : found.end, text: item.text }]);
}

describe('completion of keywords', () => {
  const top = STATEMENTS.map((entry) => entry.word);

  it('offers every declaration at the start of a line', () => {
    expect(labels('|')).toEqual(top);
    expect(labels('place shed\n|\nplace roof')).toEqual(top);
    expect(labels('place shed\nro|')).toEqual(top);
    expect(taken('place shed\nro|', 'route')).toBe('place shed\nroute');
  });

  it('offers the lines of the block that the cursor is in, without those that may stand only once and do', () => {
    const found = labels('run eaves from box.1 {\n  lead 2 m of c\n  |\n}\n');
    expect(found).toContain('outline');
    expect(found).not.toContain('lead');
    expect(found).not.toContain('run');
  });

  it('puts lines first that must be there', () => {
    expect(labels('part cable c {\n  |\n}').slice(0, 2)).toEqual(['conductor', 'carries']);
  });

  it('offers declarations too in a block that is not closed', () => {
    const found = labels('run eaves from box.1 {\n  |\n');
    expect(found).toContain('outline');
    expect(found).toContain('feed');
  });

  it('offers the second word of a keyword', () => {
    expect(labels('part |')).toEqual([
      'pixel',
      'panel',
      'flood',
      'cable',
      'connector',
      'supply',
      'controller',
      'receiver',
    ]);
    expect(taken('part ca|', 'cable')).toBe('part cable');
  });

  it('offers nothing where a name, a comment or a text is being written', () => {
    for (const plan of ['run |', 'place |', '# |', 'place shed # |', 'place shed "|"', 'place shed "To|', 'nonsense |'])
      expect(labels(plan)).toEqual([]);
  });
});

describe('completion of phrases', () => {
  it('offers those that are not there yet, needed ones first', () => {
    expect(labels('supply psu at shed |')).toEqual(['of', 'on', 'extension', 'cord', 'box-rise']);
  });

  it('with a value to tab through, or only the word', () => {
    const [fuse] = offered('supply p of x {\n  output 1 f|\n}').filter((item) => item.label === 'fuse');
    expect(fuse).toMatchObject({ text: 'fuse ', snippet: `fuse \${1:5 A}`, detail: 'a current (5 A)' });
  });

  it('says what holds where a phrase is left out', () => {
    const [spacing] = offered('run r from b.1 {\n  matrix m 16 strands x 50 px of p every 50 mm sp|\n}').filter(
      (item) => item.label === 'spacing',
    );
    expect(spacing?.documentation).toContain('Where it is not said: one pitch');
  });

  it('offers "to" inside a way and a range', () => {
    expect(labels(`${DISPLAY}route shed |`)[0]).toBe('to');
    expect(labels('part pixel p {\n  accepts 9 V |\n}')[0]).toBe('to');
  });
});

describe('completion of names', () => {
  it('offers those of the kind that is due, with what they are', () => {
    const found = offered(`${DISPLAY}supply other of |`);
    expect(found.map((item) => item.label)).toEqual(['bench-12', 'bench-5']);
    expect(offered(`${DISPLAY}supply other of bench-12 at |`)).toMatchObject([
      { label: 'shed', detail: 'Tool shed', kind: 'place' },
      { label: 'roof' },
    ]);
  });

  it('replaces the part of the name that is there', () => {
    expect(taken(`${DISPLAY}supply other of ben|`, 'bench-5').endsWith('supply other of bench-5')).toBe(true);
    expect(taken(`${DISPLAY}feed f from psu.|`, 'psu.2').endsWith('feed f from psu.2')).toBe(true);
  });

  it('offers outputs with fuse and load, free ones first', () => {
    expect(offered(`${DISPLAY}feed f from |`).map(({ label, detail }) => [label, detail])).toEqual([
      ['psu.2', 'free, fuse 7.5 A, 6.00 A to spare'],
      ['psu.3', 'free, fuse 7.5 A, 6.00 A to spare'],
      // 6.001 A of 10 A, of which 80 % are planned for; see the display.
      ['psu.1', '6.00 A of 10 A (60 %), box, 2.00 A to spare'],
    ]);
  });

  it('offers ports, free ones first', () => {
    const found = offered(`${DISPLAY}run second from |`);
    expect(found[0]).toMatchObject({ label: 'box.2', detail: 'free' });
    expect(found.at(-1)).toMatchObject({ label: 'box.1', detail: 'drives eaves, 100 pixels' });
  });

  it('offers the joints of a run behind its name, the lowest pixel first', () => {
    const found = offered(`${DISPLAY}feed f from psu.2 to eaves.|`);
    expect(found.map((item) => item.label)).toEqual([
      'eaves[100]',
      'eaves.end',
      'eaves.start',
      'eaves.gutter',
      'eaves.gable',
    ]);
    expect(found[0]?.detail).toBe('least voltage, 10.17 V');
    expect(labels(`${DISPLAY}feed f from psu.2 to |`)).toEqual(['eaves', 'eaves.end']);
  });

  it('takes the closing bracket along that the editor put there', () => {
    expect(taken(`${DISPLAY}feed f from psu.2 to eaves[|]`, 'eaves[100]').endsWith('to eaves[100]')).toBe(true);
  });

  it('offers words to choose from', () => {
    expect(labels('plan "x" {\n  design-for |\n}')).toContain('full-white');
    expect(labels('part cable c {\n  carries V+ |\n}')).toEqual(['V+', 'ground', 'data', 'line', 'neutral', 'earth']);
  });
});

describe('completion of units', () => {
  it('offers those of the dimension that is due, the customary one first', () => {
    expect(labels('run r from b.1 {\n  gap 3 |\n}').slice(0, 7)).toEqual(['m', 'mm', 'cm', 'km', 'in', 'ft', 'yd']);
    expect(labels('part cable c {\n  conductor 14 |\n}').slice(0, 3)).toEqual(['AWG', 'mm2', 'mm²']);
    expect(taken('run r from b.1 {\n  gap 3 m|\n}', 'mm')).toContain('gap 3 mm\n');
  });

  it('offers none while the number is being typed', () => {
    expect(labels('run r from b.1 {\n  gap 3|\n}')).toEqual([]);
  });
});

describe('completion of figures', () => {
  const examples = (plan: string, afterBlank = false) =>
    offered(plan, afterBlank).flatMap(({ label, detail }) => (detail === 'for example' ? [label] : []));

  it('shows one with its unit where no word leads to it, too', () => {
    expect(examples('plan "x" {\n  frame-rate |\n}')).toEqual(['40 fps']);
    expect(examples('plan "x" {\n  air |\n}')).toEqual(['-10 degC to 30 degC']);
    expect(examples('run r from b.1 {\n  gap |\n}')).toEqual([expect.stringMatching(/^[\d.]+ m$/)]);
    expect(examples('circuit c |')).toEqual([expect.stringMatching(/ A$/), expect.stringMatching(/ V$/)]);
  });

  it('shows none where it stands already, where a blank was typed, or where a person thinks of a name', () => {
    for (const plan of [
      'run r from b.1 {\n  gap 1 m |\n}',
      'run r from b.1 {\n  gap 1 |\n}',
      'place shed |',
      'circuit |',
    ])
      expect(examples(plan)).toEqual([]);
    expect(examples('plan "x" {\n  frame-rate |\n}', true)).toEqual([]);
  });
});

describe('completion asked for by a blank', () => {
  it('offers only values that are due', () => {
    expect(labels(`${DISPLAY}supply other of |`, true)).toEqual(['bench-12', 'bench-5']);
    expect(labels('run r from b.1 {\n  gap 3 |\n}', true)).toContain('mm');
    expect(labels(`${DISPLAY}feed f from psu.2 {\n  tap |\n}`, true)).toContain('eaves');
    for (const plan of ['run |', 'supply psu of x |', '|', 'place shed "a |']) expect(labels(plan, true)).toEqual([]);
  });
});

describe('snippets', () => {
  it('of every statement read without a syntax problem once their stops are filled', () => {
    for (const entry of STATEMENTS) {
      const text = filled(entrySnippet(entry, () => ['one', 'two']));
      expect(text.startsWith(entry.word)).toBe(true);
      expect(text).not.toContain('${');
      expect(parse(text).problems).toEqual([]);
    }
  });

  it('offer the names of the plan where there are some', () => {
    const [supply] = offered(`${DISPLAY}|`).filter((item) => item.label === 'supply');
    expect(supply?.snippet).toMatch(/of \$\{\d+\|bench-12,bench-5\|\}/);
  });
});

describe('completion inside a word', () => {
  it.each([
    [
      'supply other of ben|ch-5  at shed\n',
      'bench-12',
      'supply other of bench-12ch-5  at shed\n',
      'supply other of bench-12  at shed\n',
    ],
    ['pl|ace roof\n', 'route', 'routeace roof\n', 'route roof\n'],
    ['route shed to roof  14 m|m\n', 'ft', 'route shed to roof  14 ftm\n', 'route shed to roof  14 ft\n'],
    [
      'feed f  from psu.1  to eav|es[5]\n',
      'eaves.end',
      'feed f  from psu.1  to eaves.endes[5]\n',
      'feed f  from psu.1  to eaves.end\n',
    ],
    [
      'feed f  from psu.1  to eaves[5|]\n',
      'eaves.end',
      'feed f  from psu.1  to eaves.end\n',
      'feed f  from psu.1  to eaves.end\n',
    ],
  ])('keeps the rest of %j, or takes it out where a person would have it so', (line, label, kept, replaced) => {
    expect(taken(DISPLAY + line, label)).toBe(DISPLAY + kept);
    expect(taken(DISPLAY + line, label, true)).toBe(DISPLAY + replaced);
  });
});

describe('completion in damaged text', () => {
  it('takes no half of a character', () => {
    expect(taken(`${DISPLAY}feed f  from \u{1f384}|\n`, 'psu.1')).toBe(`${DISPLAY}feed f  from psu.1\n`);
  });

  it('answers at every offset', () => {
    const text =
      'run eaves from box. {\n  lead 3\n outline gutter 150 px of\n}}\nfeed f to eaves[\npart\nuse "x\n((,%\n';
    for (let offset = 0; offset <= text.length; offset++) {
      const { analysis, uri } = marked(`${text.slice(0, offset)}|${text.slice(offset)}`);
      const found = completeAt(analysis, uri, offset);
      if (found === undefined) continue;
      expect(found.start).toBeLessThanOrEqual(offset);
      expect(found.end).toBeGreaterThanOrEqual(offset);
      expect(found.wordEnd).toBeGreaterThanOrEqual(found.end);
    }
  });
});
