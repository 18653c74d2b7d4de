import { describe, expect, it } from 'vitest';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { signatureAt } from '#server/ide/signature.ts';
import { marked } from '../../support/marked.ts';

/** The shape with the part in ‹ › that is due at the cursor. */
function due(plan: string): string | undefined {
  const { analysis, uri, offset } = marked(plan);
  const found = signatureAt(analysis, uri, offset);
  if (found === undefined) return undefined;
  const active = found.parameters[found.active ?? -1];
  if (active === undefined) return found.label;
  return `${found.label.slice(0, active.start)}‹${found.label.slice(active.start, active.end)}›${found.label.slice(active.end)}`;
}

describe('the shape of a line', () => {
  it('shows its phrases, those that may be left out in brackets, and which is due', () => {
    expect(due('route |')).toBe('route ‹PLACE to PLACE›  LENGTH  [limit LIMIT]  [last-year BEFORE]');
    expect(due('place |')).toMatch(/^place ‹NAME›/);
    expect(due('supply psu |')).toContain('‹of SUPPLY›');
    expect(due('supply psu of x at |')).toContain('‹[at PLACE]›');
    expect(due('run r {\n  lead 2 m |\n}')).toContain('‹of CABLE›');
    expect(due('run r {\n  lead |\n}')).toContain('‹[LENGTH]›'.replace('[LENGTH]', 'of CABLE'));
  });

  it('goes on to what must be there before what may be', () => {
    expect(due('feed f |')).toContain('‹from OUTPUT›');
    expect(due('feed f from psu.1 |')).toContain('‹["LABEL"]›');
  });

  it('marks nothing when everything is there', () => {
    expect(due('run r {\n  gap 1 m of c |\n}')).toBe('gap LENGTH  [of CABLE]');
  });

  it('is not shown in comments, at the start of a line, or behind words that mean nothing', () => {
    for (const plan of ['|', 'rou|', '# route |', 'nonsense |']) expect(due(plan)).toBeUndefined();
  });

  it('says units and defaults of every phrase', () => {
    const { analysis, uri, offset } = marked('plan "x" {\n  air |\n}');
    const found = signatureAt(analysis, uri, offset);
    expect(found?.parameters.map(({ help }) => help).join()).toMatch(/degC/);
    for (const entry of STATEMENTS as readonly Entry[]) {
      const cursor = marked(`${entry.word} |`);
      const shape = signatureAt(cursor.analysis, cursor.uri, cursor.offset);
      const named = entry.name === 'none' ? 0 : 1;
      expect([entry.word, shape?.parameters.length]).toEqual([entry.word, entry.phrases.length + named]);
    }
  });
});
