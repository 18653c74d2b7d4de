import { describe, expect, it } from 'vitest';
import { fileIn } from '#server/ide/file-span.ts';
import { mentionsAt } from '#server/ide/references.ts';
import { renameAt, renameTargetAt } from '#server/ide/rename.ts';
import { cursorAt, DISPLAY } from '../../support/display.ts';
import { edited, marked, shown } from '../../support/marked.ts';

const PLAN = `${DISPLAY}feed back  from psu.2  to eaves.gable[40]  20 m  of feed-14  along shed to roof
prop flake {
  string ring  12 px  of steady-12  every 100 mm
}
run yard  from box.2 {
  lead 2 m  of lead-18
  copies  3  of flake  gap 1 m
}
feed far  from psu.3  to yard.flake(2).ring  20 m  of feed-14
#-- other.festoon
place shed "not part of the plan"
`;

describe('references', () => {
  const mentions = (word: string, into = 0) => {
    const { analysis, uri, offset } = marked(cursorAt(PLAN, word, into));
    return mentionsAt(analysis, uri, offset).map(
      (mention) => `${mention.declares ? 'declares ' : ''}${shown(fileIn(analysis, mention.uri)?.text ?? '', mention)}`,
    );
  };

  it('are the declaration and every use, from wherever they are asked for', () => {
    const expected = [
      'declares place ‹roof›',
      'route shed to ‹roof›  1 m  limit 2 cables',
      'run eaves "Long edge"  from box.1  at ‹roof› {',
      'lead    2 m  of lead-18  along shed to ‹roof›',
      'feed back  from psu.2  to eaves.gable[40]  20 m  of feed-14  along shed to ‹roof›',
    ];
    expect(mentions('roof').sort()).toEqual([...expected].sort());
    expect(mentions('roof  1 ').sort()).toEqual([...expected].sort());
  });

  it('reach into other files', () => {
    const found = mentions('feed-14');
    expect(found[0]).toBe('declares part cable ‹feed-14› {');
    expect(found).toHaveLength(3);
  });

  it('are none for a word that is no name', () => {
    for (const word of ['run eaves', '40 px', 'nothing of the plan'])
      if (PLAN.includes(word)) expect(mentions(word)).toEqual([]);
    expect(mentions('every')).toEqual([]);
  });
});

describe('renaming', () => {
  /** The first file with the name at a word changed, or why not. */
  function renamed(word: string, name: string, into = 0, plan = PLAN): string {
    const { analysis, uri, text, offset } = marked(cursorAt(plan, word, into));
    const found = renameAt(analysis, uri, offset, name);
    if ('refused' in found) return found.refused;
    return edited(
      text,
      found.filter((edit) => edit.uri === uri),
    );
  }

  const main = (PLAN.split('#-- ')[0] ?? '') as string;

  it('changes the declaration and every use', () => {
    expect(renamed('roof', 'eaves-edge')).toBe(
      main.replaceAll('roof', 'eaves-edge').replace('edge of the eaves-edge', 'edge of the roof'),
    );
    expect(renamed('psu.2', 'psu-a')).toBe(main.replace('supply psu', 'supply psu-a').replaceAll('psu.', 'psu-a.'));
  });

  it('changes the lines of a run, and names inside props', () => {
    expect(renamed('eaves.gable', 'front', 6)).toBe(
      main.replaceAll('gable', 'front').replace('round the front', 'round the gable'),
    );
    expect(renamed('string ring', 'circle', 7)).toBe(
      main.replaceAll('ring  12', 'circle  12').replace('.ring', '.circle'),
    );
  });

  it('takes copies along that go by the name of their prop', () => {
    const expected = main
      .replace('prop flake', 'prop star-1')
      .replace('of flake', 'of star-1')
      .replace('yard.flake', 'yard.star-1');
    expect(renamed('prop flake', 'star-1', 5)).toBe(expected);
    expect(renamed('yard.flake', 'star-1', 5)).toBe(expected);
  });

  it('edits other files as well', () => {
    const { analysis, uri, offset } = marked(cursorAt(PLAN, 'feed-14'));
    const found = renameAt(analysis, uri, offset, 'thick');
    if ('refused' in found) throw new Error(found.refused);
    expect(new Set(found.map((edit) => edit.uri.split('/').at(-1)))).toEqual(
      new Set(['plan.festoon', 'bench.festoon']),
    );
    expect(found).toHaveLength(3);
  });

  it('refuses words that cannot be names, and says why', () => {
    for (const name of ['', '2nd', 'two words', 'a.b', 'a|b', 'é!'])
      expect(renamed('roof', name)).toContain('cannot be a name');
    for (const name of ['to', 'end', 'run', 'at', 'every', 'm'])
      expect(renamed('roof', name)).toContain('word of the language');
    expect(renamed('roof', 'Dach-2²_x+')).toContain('place Dach-2²_x+');
  });

  it('refuses names that are taken, also where only meaning would change', () => {
    expect(renamed('place roof', 'shed', 6)).toContain('already means something else');
    expect(renamed('eaves.gable', 'gutter', 6)).toContain('already means something else');
    // The bond looks among controllers first: the supply may not take the controller's name.
    expect(renamed('psu.2', 'box', 0, `${PLAN.split('#--')[0]}bond g  from psu to box  1 m  of feed-14\n`)).toContain(
      'already means something else',
    );
    // A name of another kind is free.
    expect(renamed('place roof', 'eaves', 6)).toContain('place eaves');
  });

  it('refuses what is not declared in the plan', () => {
    for (const [word, into] of [
      ['psu.1', 4],
      ['box.1', 4],
      ['run eaves', 0],
      ['60 px', 0],
      ['every', 0],
    ] as const) {
      const { analysis, uri, offset } = marked(cursorAt(PLAN, word, into));
      expect(renameTargetAt(analysis, uri, offset)).toHaveProperty('refused');
      expect(renameAt(analysis, uri, offset, 'other')).toHaveProperty('refused');
    }
    const { analysis, uri, offset } = marked('run a  from |nowhere.1 {\n}\n');
    expect(renameTargetAt(analysis, uri, offset)).toHaveProperty('refused');
  });

  it('offers the name under the cursor for editing', () => {
    const { analysis, uri, text, offset } = marked(cursorAt(PLAN, 'eaves.gable', 5));
    const target = renameTargetAt(analysis, uri, offset);
    if ('refused' in target) throw new Error(target.refused);
    expect(target.name).toBe('eaves');
    expect(shown(text, target)).toContain('to ‹eaves›.gable');
  });

  it('leaves what else is written alone: comments, labels, the duplicates of a name', () => {
    const plan = 'place shed "shed" # shed\n## shed\nplace other\nroute shed to other 3 m\n';
    expect(renamed('shed', 'hut', 0, plan)).toBe(
      'place hut "shed" # shed\n## shed\nplace other\nroute hut to other 3 m\n',
    );
  });
});

describe('what has no name', () => {
  const refused = (plan: string) => {
    const { analysis, uri, offset } = marked(plan);
    return renameTargetAt(analysis, uri, offset);
  };

  it('goes by that of its prop, where there is one', () => {
    const run = (of: string) => `prop star {\n  string 5 px\n}\nrun eaves {\n  |copies 2  of ${of}\n}\n`;
    expect(refused(run('star'))).not.toHaveProperty('refused');
    expect(refused(run('nothing'))).toEqual({ refused: 'This line has no name of its own.' });
  });

  it('is nothing in a file that is not part of the plan', () => {
    const { analysis, offset } = marked('place |shed\n');
    expect(renameTargetAt(analysis, 'file:///gone.festoon', offset)).toEqual({ refused: 'There is no name here.' });
    expect(renameAt(analysis, 'file:///gone.festoon', offset, 'barn')).toEqual({ refused: 'There is no name here.' });
  });
});
