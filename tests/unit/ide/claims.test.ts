import { describe, expect, it } from 'vitest';
import { cardText } from '#server/ide/card.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { definitionAt } from '#server/ide/definition.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { mentionsAt } from '#server/ide/references.ts';
import { outlineOf } from '#server/ide/symbols.ts';
import { marked } from '../../support/marked.ts';

/** The same run as in tests/fixtures/checks/expectation-failed: 11.82 V at its end by hand. */
const PLAN = (more: string) => `use "bench.festoon"
supply psu  of bench-12 {
  set 12 V
  output 1  fuse 20 A  cold 1 mohm
}
controller box  of data-board
run row  from box.1 {
  lead 1 m  of data-18
  string left  50 px  of steady-12  every 20 mm
}
feed start  from psu.1  to row.start  2 m  of feed-14
${more}`;

const hover = (more: string) => {
  const { analysis, uri, offset } = marked(PLAN(more));
  const found = hoverAt(analysis, uri, offset);
  return found === undefined ? '' : cardText(found.card);
};

const labels = (more: string) => {
  const { analysis, uri, offset } = marked(PLAN(more));
  return (completeAt(analysis, uri, offset)?.items ?? []).map(({ label }) => label);
};

describe('expect and accept in the editor', () => {
  it('the limit tells what is computed', () => {
    expect(hover('expect row at least 11|.9 V\n')).toMatch(/11\.82 V at pixel 50[\s\S]*holds: no/);
    expect(hover('expect row at least 11|.5 V\n')).toMatch(/11\.82 V at pixel 50[\s\S]*holds: yes/);
    expect(hover('expect row.left[5|0] at least 11.5 V\n')).toMatch(/voltage: 11\.82 V/);
  });

  it('the thing tells what is expected and accepted of it', () => {
    const claims = 'expect r|ow at least 11.5 V\naccept no-power  of row  because "dark on purpose"\n';
    expect(hover(claims)).toMatch(/expected: row at least 11\.5 V: 11\.82 V/);
    const text = hover('accept fuse-too-large  of st|art  because "in steel pipe"\n');
    expect(text).toMatch(/accepted: fuse-too-large: because in steel pipe/);
  });

  it('a code explains itself', () => {
    expect(hover('accept low-vol|tage  of row  because "x"\n')).toMatch(/colour|white/);
  });

  it('codes are completed from the registry, what is found first; then things', () => {
    expect(labels('accept |').slice(0, 1)).toEqual(['fuse-too-large']);
    expect(labels('accept |')).toContain('low-voltage');
    expect(labels('accept |')).not.toContain('missing-unit');
    expect(labels('accept low-voltage  of |')).toEqual(expect.arrayContaining(['row', 'start', 'psu', 'box']));
    expect(labels('expect row at |')).toEqual(['least', 'most']);
    expect(labels('expect supply |')).toEqual(['psu']);
  });

  it('names lead to what they name and are among its mentions', () => {
    const { analysis, uri, offset, text } = marked(
      PLAN('expect r|ow at least 11 V\naccept low-voltage  of row  because "x"\n'),
    );
    expect(definitionAt(analysis, uri, offset)?.name.start).toBe(text.indexOf('row'));
    expect(mentionsAt(analysis, uri, offset).length).toBe(4);
  });

  it('both stand in the outline', () => {
    const { analysis } = marked(PLAN('|expect row at least 11 V\naccept low-voltage  of row  because "x"\n'));
    const file = analysis.files[0];
    const keywords = file === undefined ? [] : outlineOf(file).map(({ keyword }) => keyword);
    expect(keywords).toEqual(expect.arrayContaining(['expect', 'accept']));
  });
});

describe('a route', () => {
  it('tells its cables beside those of last year, and the copper of all cores', () => {
    // Three cores of 18 AWG and two times two of 14 AWG (ASTM B258: 0.823 and 2.081 mm2): 2.469 + 8.324 = 10.8 mm2.
    const { analysis, uri, offset } = marked(`use "bench.festoon"
place shed
place roof
rou|te shed to roof  5 m  limit 4 cables  last-year 2 cables
supply psu  of bench-12  at shed {
  outputs 1 to 3  fuse 15 A
}
controller box  of board  at shed  from psu.1
run eaves  from box.1 {
  lead along shed to roof  of lead-18
  string 20 px  of steady-12  every 50 mm
}
feed eaves-end  from psu.2  to eaves.end  7 m  of feed-14 x 2  along shed to roof
`);
    const found = hoverAt(analysis, uri, offset);
    const text = found === undefined ? '' : cardText(found.card);
    expect(text).toContain('cables: 3 of 4 cables, last year 2');
    expect(text).toContain('copper: 10.8 mm²');
  });
});
