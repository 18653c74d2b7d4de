import { describe, expect, it } from 'vitest';
import { definitionAt, typeDefinitionAt } from '#server/ide/definition.ts';
import { fileIn } from '#server/ide/file-span.ts';
import { cursorAt, cursorBehind, DISPLAY } from '../../support/display.ts';
import { marked, shown } from '../../support/marked.ts';

const FEEDS = `${DISPLAY}feed back  from psu.2  to eaves.gable[40]  20 m  of feed-14
prop flake {
  string ring  12 px  of steady-12  every 100 mm
}
run yard  from box.2 {
  lead 2 m  of lead-18
  copies  3  of flake  gap 1 m
}
feed far  from psu.3  to yard.flake(2).ring  20 m  of feed-14
`;

/** Where a word leads: the name in its line, with the file if it is another one. */
function leads(text: string, word: string, into = 0, look = definitionAt): string | undefined {
  const { analysis, uri, offset } = marked(cursorAt(text, word, into));
  const found = look(analysis, uri, offset)?.name;
  if (found === undefined) return undefined;
  const file = fileIn(analysis, found.uri);
  const line = shown(file?.text ?? '', found);
  return found.uri === uri ? line : `${found.uri.split('/').at(-1)}: ${line}`;
}

describe('the type of a line without one', () => {
  it('is none', () => {
    const run = (line: string) => `prop flake {\n  string ring  12 px\n}\nrun yard {\n  ${line}\n}\n`;
    const type = (line: string, word: string) => leads(run(line), word, 0, typeDefinitionAt);
    expect(type('copies stars  3  of flake', 'stars')).toBe('prop ‹flake› {');
    expect(type('copies stars  3', 'stars')).toBeUndefined();
    expect(type('string edge  5 px', 'edge')).toBeUndefined();
    expect(type('panels front  1 row x 2 columns', 'front')).toBeUndefined();
  });
});

describe('definition', () => {
  it('leads from a use to the declaration, in whichever file it is', () => {
    expect(leads(FEEDS, 'psu.2')).toBe('supply ‹psu› "left of the door"  of bench-12  at shed  on garden {');
    expect(leads(FEEDS, 'shed to roof  1 ')).toBe('place ‹shed› "Tool shed"');
    expect(leads(FEEDS, 'steady-12')).toBe('bench.festoon: part pixel ‹steady-12› {');
    expect(leads(FEEDS, 'flake  gap')).toBe('prop ‹flake› {');
  });

  it('leads from each step to what it names', () => {
    expect(leads(FEEDS, 'psu.1', 4)).toBe('output ‹1›  fuse 10 A  cold 1 mohm');
    expect(leads(FEEDS, 'psu.2', 4)).toBe('‹outputs› 2 to 3  fuse 7.5 A');
    expect(leads(FEEDS, 'eaves.gable', 6)).toBe('outline ‹gable›  40 px  of steady-12  every 100 mm');
    expect(leads(FEEDS, 'gable[40]', 6)).toBe('outline ‹gable›  40 px  of steady-12  every 100 mm');
    expect(leads(FEEDS, 'box.1', 4)).toBe('controller ‹box›  of board  at shed  from psu.1');
    expect(leads(FEEDS, 'yard.flake', 5)).toBe('‹copies›  3  of flake  gap 1 m');
    expect(leads(FEEDS, 'flake(2).ring', 9)).toBe('string ‹ring›  12 px  of steady-12  every 100 mm');
  });

  it('leads from the end of a name too', () => {
    const { analysis, uri, text, offset } = marked(cursorBehind(FEEDS, 'to eaves'));
    expect(shown(text, definitionAt(analysis, uri, offset)?.name)).toBe(
      'run ‹eaves› "Long edge"  from box.1  at roof {',
    );
  });

  it('takes a declaration to itself, and the whole statement with it', () => {
    const { analysis, uri, text, offset } = marked(cursorAt(FEEDS, 'psu "left'));
    const found = definitionAt(analysis, uri, offset);
    expect(shown(text, found?.name)).toContain('supply ‹psu›');
    expect(text.slice(found?.whole.start, found?.whole.end)).toMatch(/^supply psu[\s\S]*\}$/);
    expect(text.slice(found?.from.start, found?.from.end)).toBe('psu');
  });

  it('opens the file of a use line', () => {
    const { analysis, uri, offset } = marked(cursorAt(FEEDS, 'bench.festoon'));
    expect(definitionAt(analysis, uri, offset)?.name).toMatchObject({ uri: 'file:///display/bench.festoon', start: 0 });
  });

  it('leads nowhere from what is no name', () => {
    for (const word of ['run eaves', '60 px', 'every', '"Long', '## The']) expect(leads(FEEDS, word)).toBeUndefined();
    expect(leads('run a  from nowhere.1 {\n}\n', 'nowhere')).toBeUndefined();
  });
});

describe('type definition', () => {
  it('leads to the part that a thing is made of', () => {
    const type = (word: string, into = 0) => leads(FEEDS, word, into, typeDefinitionAt);
    expect(type('psu.2')).toBe('bench.festoon: part supply ‹bench-12› {');
    expect(type('box  of')).toBe('bench.festoon: part controller ‹board› {');
    expect(type('eaves.gable')).toBe('bench.festoon: part pixel ‹steady-12› {');
    expect(type('eaves.gable', 6)).toBe('bench.festoon: part pixel ‹steady-12› {');
    expect(type('yard.flake', 5)).toBe('prop ‹flake› {');
    expect(type('back')).toBe('bench.festoon: part cable ‹feed-14› {');
    expect(type('shed to')).toBeUndefined();
  });
});
