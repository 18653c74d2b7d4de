import { describe, expect, it } from 'vitest';
import { readSource } from '#grammar/source.ts';
import { completeUsePath } from '#server/ide/completion/use-path.ts';
import { relativePath } from '#server/ide/relative-path.ts';
import { useEditsFor } from '#server/ide/rename-files.ts';
import { edited } from '../../support/marked.ts';

const ROOT = 'file:///show/';
const KNOWN = ['plan.festoon', 'parts/stock.festoon', 'parts/my%20own.festoon', 'yard.festoon'].map(
  (path) => ROOT + path,
);

function offered(name: string, plan: string) {
  const [before = '', after = ''] = plan.split('|');
  const text = before + after;
  const file = readSource(ROOT + name, text);
  const found = completeUsePath(file, before.length, [...KNOWN, 'file:///elsewhere/x.festoon'], ROOT);
  return {
    labels: found?.items.map(({ label }) => label),
    taken: (label: string) => {
      const item = found?.items.find((candidate) => candidate.label === label);
      if (found === undefined || item === undefined) throw new Error(`${label} is not offered`);
      return edited(text, [{ start: found.start, end: found.end, text: item.text }]);
    },
  };
}

describe('the path of a use line', () => {
  it('is offered from the files of the folder, those that are used already last', () => {
    expect(offered('plan.festoon', 'use "yard.festoon"\nuse "|"').labels).toEqual([
      'parts/my own.festoon',
      'parts/stock.festoon',
      'yard.festoon',
    ]);
  });

  it('goes up where it must, and never out of the folder', () => {
    expect(offered('parts/stock.festoon', 'use "|').labels).toEqual([
      'my own.festoon',
      '../plan.festoon',
      '../yard.festoon',
    ]);
  });

  it('replaces what is there and closes the quotes', () => {
    expect(offered('plan.festoon', 'use "pa|"').taken('parts/stock.festoon')).toBe('use "parts/stock.festoon"');
    expect(offered('plan.festoon', 'use "parts/|').taken('parts/stock.festoon')).toBe('use "parts/stock.festoon"');
    expect(offered('plan.festoon', 'use "y|ard.x"').taken('yard.festoon')).toBe('use "yard.festoon"');
  });

  it('is offered nowhere else', () => {
    expect(offered('plan.festoon', 'place shed "|"').labels).toBeUndefined();
    expect(offered('plan.festoon', 'use |').labels).toBeUndefined();
    expect(offered('plan.festoon', 'use "a" |').labels).toBeUndefined();
  });
});

describe('files that move', () => {
  const file = (path: string, text: string) => readSource(ROOT + path, text);
  const moved = (files: ReturnType<typeof file>[], from: string, to: string) => {
    const edits = useEditsFor(files, [{ from: ROOT + from, to: ROOT + to }]);
    return files.map((each) =>
      edited(
        each.text,
        edits.filter(({ uri }) => uri === each.uri),
      ),
    );
  };

  it('take the paths that lead to them along', () => {
    expect(
      moved([file('plan.festoon', 'use "parts/stock.festoon"\n')], 'parts/stock.festoon', 'stock/12 v.festoon'),
    ).toEqual(['use "stock/12 v.festoon"\n']);
  });

  it('take their own paths along', () => {
    const files = [
      file('yard.festoon', '# yard\nuse "parts/stock.festoon"  # stock\n'),
      file('plan.festoon', 'use "yard.festoon"\n'),
    ];
    expect(moved(files, 'yard.festoon', 'north/yard.festoon')).toEqual([
      '# yard\nuse "../parts/stock.festoon"  # stock\n',
      'use "north/yard.festoon"\n',
    ]);
  });

  it('move with their folder, and paths inside it stay', () => {
    const files = [
      file('parts/stock.festoon', 'use "my own.festoon"\n'),
      file('plan.festoon', 'use "./parts/stock.festoon"\n'),
    ];
    expect(moved(files, 'parts', 'store')).toEqual(['use "my own.festoon"\n', 'use "store/stock.festoon"\n']);
  });
});

describe('a relative path', () => {
  it('is undefined between different places', () => {
    expect(relativePath('file:///a/b', 'memfs://x/c')).toBeUndefined();
    expect(relativePath('untitled:Untitled-1', 'file:///a/b')).toBeUndefined();
  });
});
