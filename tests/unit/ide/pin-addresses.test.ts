import { describe, expect, it } from 'vitest';
import { refactorsAt } from '#server/ide/refactors.ts';
import { addressesOf } from '#server/model/addresses.ts';
import { cursorAt, DISPLAY } from '../../support/display.ts';
import { edited, marked } from '../../support/marked.ts';
import { analysePlan } from '../../support/plans.ts';

/**
 * Addresses pinned where they are. By ANSI E1.31 a universe has 512 slots; a pixel of three takes them whole, so the 100
 * pixels of the eaves lie in universe 1, slots 1 to 300, and what follows begins at slot 301.
 */
const door = (more = '') =>
  `run door  from box.2${more} {\n  lead  2 m  of lead-18\n  string  20 px  of steady-12  every 100 mm\n}\n`;
const TEXT = `${DISPLAY}${door()}`;

function rewritten(plan: string): readonly (readonly [string, string])[] {
  const { analysis, uri, text, offset } = marked(plan);
  return refactorsAt(analysis, uri, offset)
    .filter(({ kind }) => kind === 'rewrite')
    .map(({ title, edits }) => [title, edited(text, edits)]);
}

const starts = (text: string) =>
  [...addressesOf(analysePlan(text).analysis.plan).values()].map(
    ({ run, isPinned, spans: [first] }) => `${run.name} ${first?.universe}.${first?.slot}${isPinned ? ' pinned' : ''}`,
  );

describe('an address pinned where it is', () => {
  it('is that of the run, or those of all runs of its controller', () => {
    expect(starts(TEXT)).toEqual(['eaves 1.1', 'door 1.301']);
    const [one, all, ...more] = rewritten(cursorAt(TEXT, 'run door', 5));
    expect(more).toEqual([]);
    expect(one).toEqual(['Pin door where it is: universe 1 slot 301', `${DISPLAY}${door('  universe 1 slot 301')}`]);
    expect(all?.[0]).toBe('Pin all 2 runs of box where they are');
    expect(all?.[1]).toContain('run eaves "Long edge"  from box.1  at roof  universe 1 {\n');
    expect(starts(all?.[1] ?? '')).toEqual(['eaves 1.1 pinned', 'door 1.301 pinned']);
  });

  it('stays when what comes before it grows', () => {
    const [[, pinned] = ['', '']] = rewritten(cursorAt(TEXT, 'run door', 5));
    // 10 pixels fewer take 30 slots less; 20 more would be in the way.
    expect(starts(TEXT.replace('60 px', '50 px'))).toEqual(['eaves 1.1', 'door 1.271']);
    expect(starts(pinned.replace('60 px', '50 px'))).toEqual(['eaves 1.1', 'door 1.301 pinned']);
  });

  it('is offered at the controller for all of its runs', () => {
    expect(rewritten(cursorAt(TEXT, 'controller box', 3)).map(([title]) => title)).toEqual([
      'Pin all 2 runs of box where they are',
    ]);
  });

  it('is not offered for what is pinned, inside the block, or where there is nothing to pin', () => {
    const pinned = DISPLAY.replace('at roof {', 'at roof  universe 7 {');
    expect(rewritten(cursorAt(pinned, 'run eaves', 5))).toEqual([]);
    expect(rewritten(cursorAt(TEXT, 'string  20 px', 3))).toEqual([]);
    expect(rewritten(cursorAt(TEXT, 'place roof', 3))).toEqual([]);
    expect(rewritten(cursorAt(DISPLAY, 'controller box', 3))).toEqual([]);
  });
});
