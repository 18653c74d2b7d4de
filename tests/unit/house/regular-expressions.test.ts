import { checkSync } from 'recheck';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { LEXER } from '#grammar/tokens.ts';
import { projectFiles, readText } from './tree.ts';

/**
 * A regular expression that goes back over its text again and again lets one long line stop the editor. Each of ours is
 * examined (recheck: automata theory, CWE-1333): none may take exponential time; quadratic ones must say why no long text
 * reaches them.
 */
const SHORT: ReadonlyMap<string, string> = new Map([
  ['-?\\d+,\\d+', 'the lexer matches at one place only and does not search'],
  ['[\\r\\n]+$', 'a single line, which has one line break at most'],
  ['\\s*\\{$', 'examples of the vocabulary'],
  ['^-?[\\d.,]+\\s*(?:ft\\s*[\\d.]+\\s*)?(\\D*)$', 'its text has no two blanks in a row'],
  ['^_+|_+$', 'its text has no two underscores in a row'],
  ['^-+|-+$', 'its text has no two hyphens in a row'],
]);

interface Found {
  readonly where: string;
  readonly source: string;
  readonly flags: string;
}

function inSources(): Found[] {
  const files = projectFiles().filter((name) => /^(?:grammar|server|client)\/src\/.*\.ts$/.test(name));
  return files.flatMap((name) => {
    const file = ts.createSourceFile(name, readText(name), ts.ScriptTarget.Latest);
    const found: Found[] = [];
    const visit = (node: ts.Node) => {
      if (ts.isRegularExpressionLiteral(node)) found.push({ where: name, ...parted(node.text) });
      ts.forEachChild(node, visit);
    };
    visit(file);
    return found;
  });
}

function parted(literal: string): { source: string; flags: string } {
  const end = literal.lastIndexOf('/');
  // Where a search may start makes no difference to how a match goes on.
  return { source: literal.slice(1, end), flags: literal.slice(end + 1).replace('y', '') };
}

/** The grammars of the editor are patterns too, written in JSON. */
const PATTERN_KEYS = new Set(['match', 'begin', 'end', 'pattern', 'beforeText', 'wordPattern']);

function inJson(): Found[] {
  const files = projectFiles().filter((name) => /^(?:grammar\/textmate|client\/language)\/.*\.json$/.test(name));
  return files.flatMap((where) => {
    const found: Found[] = [];
    const visit = (value: unknown): void => {
      if (typeof value !== 'object' || value === null) return;
      for (const [key, inner] of Object.entries(value)) {
        if (typeof inner === 'string' && (PATTERN_KEYS.has(key) || key.endsWith('Pattern')))
          found.push({ where, source: inner, flags: 'u' });
        visit(inner);
      }
    };
    visit(JSON.parse(readText(where)));
    return found;
  });
}

describe('every regular expression', () => {
  process.env['RECHECK_BACKEND'] = 'pure';

  it.each([
    ['of the sources', inSources, 80],
    ['of the editor', inJson, 5],
  ])('%s goes through its text in a bounded way', { timeout: 120_000 }, (_, find, least) => {
    const found = find();
    expect(found.length).toBeGreaterThanOrEqual(least);
    expect(found.flatMap(troubleOf)).toEqual([]);
  });

  it('would be found out if it did not', () => {
    expect(troubleOf({ where: 'planted', source: '^(a+)+$', flags: '' })).toHaveLength(1);
  });

  it('that is quadratic for a reason is still there', () => {
    const sources = new Set(inSources().map(({ source }) => source));
    expect([...SHORT.keys()].filter((source) => !sources.has(source))).toEqual([]);
  });
});

function troubleOf({ where, source, flags }: Found): string[] {
  if (SHORT.has(source)) return [];
  const result = checkSync(simplified(source), flags, { checker: 'automaton', timeout: 20_000 });
  if (result.status === 'safe') return [];
  const kind = result.status === 'vulnerable' ? result.complexity.type : result.error.kind;
  // Editors colour lines of up to 20,000 characters (editor.maxTokenizationLineLength): quadratic is bounded there.
  if (kind === 'polynomial' && where.endsWith('.json')) return [];
  return [`${where}: /${source}/${flags} ${kind}`];
}

/** The examiner cannot do lookaheads; and of a list of words two tell as much as fifty. Neither makes a match go back. */
function simplified(source: string): string {
  const word = String.raw`[\w²%+-]+(?:\\s\+[\w-]+)?`;
  return source.replace(/\(\?[!=][^()]*\)/g, '').replace(new RegExp(`${word}(?:\\|${word}){3,}`, 'g'), 'word|other');
}

describe('the lexer', () => {
  it.each(['1', 'a', ' ', '"', '#', '-', '.', '\u{1f384}', '\u202e', '1,', 'a.', '5 ft '])(
    'makes at most one token of each character of a long line of %j',
    (sign) => {
      const line = sign.repeat(Math.ceil(1_000_000 / sign.length));
      const { tokens, groups } = LEXER.tokenize(line);
      expect(tokens.length + (groups['comments']?.length ?? 0)).toBeLessThanOrEqual(line.length);
    },
  );
});
