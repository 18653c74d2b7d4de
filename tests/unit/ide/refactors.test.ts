import { describe, expect, it } from 'vitest';
import { refactorsAt } from '#server/ide/refactors.ts';
import { cursorAt, DISPLAY } from '../../support/display.ts';
import { edited, marked } from '../../support/marked.ts';

function done(plan: string, kind: 'extract' | 'inline'): string | undefined {
  const { analysis, uri, text, offset } = marked(plan);
  const found = refactorsAt(analysis, uri, offset).find((refactor) => refactor.kind === kind);
  return found === undefined ? undefined : edited(text, found.edits);
}

const RUN = `## Round the door.
run door  from box.2 {
  lead    2 m  of lead-18
  outline |frame  20 px  of steady-12  every 100 mm
  gap     1 m
  string  10 px  of steady-12  every 100 mm
}
`;

describe('a string made a prop', () => {
  it('stands above the run and hangs there once, by the same name', () => {
    const text = done(DISPLAY + RUN, 'extract');
    expect(text).toContain(
      'prop frame {\n  outline  20 px  of steady-12  every 100 mm\n}\n\n## Round the door.\nrun door',
    );
    expect(text).toContain('  copies 1  of frame\n  gap     1 m');
  });

  it('and written out again is the string it was', () => {
    const text = done(DISPLAY + RUN, 'extract') ?? '';
    const back = done(cursorAt(text, 'copies 1  of frame'), 'inline');
    expect(back).toContain('outline frame  20 px  of steady-12  every 100 mm');
    expect(back).not.toContain('prop frame');
  });

  it('takes a name that no prop has', () => {
    const taken = 'prop frame {\n  string 5 px of steady-12 every 100 mm\n}\n';
    const text = done(DISPLAY + taken + RUN, 'extract');
    expect(text).toContain('prop frame-2 {');
    expect(text).toContain('copies frame  1  of frame-2');
    const both = done(DISPLAY + taken + taken.replace('frame', 'frame-2') + RUN, 'extract');
    expect(both).toContain('prop frame-3 {');
  });

  it('has the line ends of its file', () => {
    const text = done((DISPLAY + RUN).replaceAll('\n', '\r\n'), 'extract');
    expect(text).toContain('prop frame {\r\n  outline  20 px  of steady-12  every 100 mm\r\n}\r\n');
    expect(text?.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
  });

  it('is not offered where it would change what is computed', () => {
    // The feed goes to a strand of the matrix; of a copy, the number would mean the copy.
    const matrix = `run sail  from box.2 {
  lead    2 m  of lead-18
  matrix |canvas  4 strands x 5 px  of steady-12  every 100 mm
}
feed mid  from psu.2  to sail.canvas(3)  2 m  of feed-14
`;
    expect(done(DISPLAY + matrix, 'extract')).toBeUndefined();
  });

  it('is not offered for what is no string', () => {
    expect(done(DISPLAY + RUN.replace('|', '').replace('lead    2', 'lead|    2'), 'extract')).toBeUndefined();
    expect(done(DISPLAY + RUN.replace('|', '').replace('gap ', 'gap| '), 'extract')).toBeUndefined();
    expect(done('|', 'extract')).toBeUndefined();
  });
});
