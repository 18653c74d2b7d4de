/** A document that names a path keeps its word: the path is there. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectFiles, readText, root } from './tree.ts';

const files = projectFiles();
const folders = new Set(files.flatMap(foldersOf));
const tops = [...new Set(files.map((file) => file.split('/')[0] ?? ''))].filter((top) => folders.has(top));

function foldersOf(file: string): string[] {
  const folder = dirname(file);
  return folder === '.' ? [] : [folder, ...foldersOf(folder)];
}

/** Paths from the root, and targets of relative links. Patterns and built files are not looked for. */
function pathsIn(text: string): string[] {
  const fromRoot = new RegExp(`(?<![\\w./*#-])(?:${tops.map(escaped).join('|')})/[\\w./*<>-]*`, 'g');
  const links = [...text.matchAll(/\]\((?!https?:|#|mailto:)([^)\s#]+)/g)].map((match) => match[1] ?? '');
  const named = [...(text.match(fromRoot) ?? []), ...links].map((path) => path.replace(/[./]+$/, ''));
  return [...new Set(named)].filter((path) => !/[*<>]/.test(path) && !/^(dist|\.cache)\//.test(path));
}

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

describe('paths named in documents', () => {
  it('are recognised', () => {
    const text =
      'See `server/src/lsp/main.ts`, tests/vscode/ and [the words](grammar/REFERENCE.md#run); not tests/*.ts.';
    expect(pathsIn(text)).toEqual(['server/src/lsp/main.ts', 'tests/vscode', 'grammar/REFERENCE.md']);
  });

  const documents = files.filter((file) => file.endsWith('.md'));
  it.each(documents)('of %s are there', (document) => {
    const text = readText(document);
    const gone = pathsIn(text).filter(
      (path) => !existsSync(join(root, path)) && !existsSync(join(root, dirname(document), path)),
    );
    expect(gone).toEqual([]);
  });

  it('are looked for in the README and in the code map', () => {
    expect(documents).toContain('README.md');
    expect(documents).toContain('DEVELOPERS.md');
    expect(pathsIn(readText('DEVELOPERS.md')).length).toBeGreaterThan(10);
  });
});
