/** What the editor says of panels and floods: hover, hints, completion, places of names, outline. */
import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { cardText } from '#server/ide/card.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { mentionsAt } from '#server/ide/references.ts';
import { renameAt } from '#server/ide/rename.ts';
import { cursorAt } from '../../support/display.ts';
import { edited, marked } from '../../support/marked.ts';

const PLAN = `part panel p5 {
  voltage 5 V
  size    32 rows x 64 columns
  draws   4 A  knee 4 V  dark 3 V
  scan    16
  data    8 bits at 20 MHz  shortened 4
}

part flood glow {
  voltage 5 V
  draws   2 A
}

part cable pair {
  conductor 2.5 mm2
  carries   V+ ground
}

part supply bench {
  voltage      5 V
  rated        100 A
}

part controller board {
  ports       1
}

supply psu  of bench {
  output  1  fuse 15 A
  output  2  fuse 15 A
}

controller box  of board

run sign  from box.1 {
  panels  front  1 row x 2 columns  of p5
}

flood wash "wall wash"  2  of glow

feed s  from psu.1 {
  cable 1 m  of pair
  tap   sign.front(1)
  tap   sign.front(2)
}

feed w  from psu.2 {
  cable 1 m  of pair
  tap   wash(1)
  tap   wash(2)
}
`;

const card = (word: string) => {
  const { analysis, uri, offset } = marked(cursorAt(PLAN, word));
  const found = hoverAt(analysis, uri, offset)?.card;
  return found === undefined ? '' : cardText(found);
};

describe('panels and floods in the editor', () => {
  it('are written in the one style', () => {
    expect(formatText(PLAN)).toBe(PLAN);
  });

  it('have cards', () => {
    // 64 columns x 32 rows / (2 x 16) = 64 clocks a panel; 16 turns x 19 shifts x 128 clocks at 20 MHz = 1.95 ms.
    expect(card('sign  from')).toMatch(/2 panels, 4,096 pixels[\s\S]*8\.00 A[\s\S]*514\.0 Hz/);
    expect(card('front  1')).toMatch(/panels[\s\S]*2 of p5, 1 to 2 of sign/);
    expect(card('wash "')).toMatch(/2 floods[\s\S]*4\.00 A/);
    expect(card('p5 {')).toMatch(/4\.00 A[\s\S]*1\.33 A[\s\S]*300 mm of 18 AWG/);
    expect(card('glow {')).toMatch(/flood part[\s\S]*2\.00 A/);
    expect(card('shortened 4')).toMatch(/blanked early/);
  });

  it('show their load at the end of the line', () => {
    const { analysis, uri, text } = marked(`${PLAN}|`);
    const hints = inlayHintsOf(analysis, uri, { start: 0, end: text.length }).map((hint) => hint.text);
    expect(hints.some((hint) => hint.startsWith('8.00 A'))).toBe(true);
    expect(hints.some((hint) => hint.startsWith('4.00 A'))).toBe(true);
  });

  it('are found and renamed by name, wherever they are fed', () => {
    for (const [word, uses] of [
      ['wash "', 3],
      ['front  1', 3],
      ['p5 {', 2],
      ['glow {', 2],
    ] as const) {
      const { analysis, uri, text, offset } = marked(cursorAt(PLAN, word));
      expect([word, mentionsAt(analysis, uri, offset).length]).toEqual([word, uses]);
      const renamed = renameAt(analysis, uri, offset, 'other');
      const edits = Array.isArray(renamed) ? renamed : ((renamed as { edits?: unknown }).edits ?? []);
      const after = edited(text, edits as Parameters<typeof edited>[1]);
      expect(after.match(/\bother\b/g)).toHaveLength(uses);
    }
  });

  it('complete', () => {
    const labels = (plan: string) => {
      const { analysis, uri, offset } = marked(plan);
      return (completeAt(analysis, uri, offset)?.items ?? []).map((item) => item.label);
    };
    expect(labels(`${PLAN}flood more  2  of |`)).toEqual(['glow']);
    expect(labels(`${PLAN}feed x  from psu.1  to wa|`)).toContain('wash');
  });
});
