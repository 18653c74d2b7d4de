import type { Entry, Kind } from '#grammar/words/entry.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { entrySnippet, type NamesOfKind, TOP_ENTRIES } from './completion/snippet.ts';
import { fileIn, overlaps } from './file-span.ts';
import { namedOfKind } from './names.ts';
import { type Problem, problemsOf } from './problems.ts';
import { entryOf, entryOfPath, readLine } from './read-line.ts';
import { type Token, tokenAt } from './token-at.ts';

/** A declaration for a name that nothing has, with its values to be tabbed through and filled in. */
export interface Draft {
  readonly title: string;
  readonly problem: Problem;
  readonly uri: string;
  /** Where it goes in, as an offset of the file: the start of a line, or the end of the text. */
  readonly at: number;
  readonly snippet: string;
}

/** The statement that declares a thing of a kind. What a tap, a port or an output belongs to comes first. */
const DECLARED_BY: Readonly<Partial<Record<Kind, string>>> = {
  place: 'place',
  pixel: 'part pixel',
  panel: 'part panel',
  flood: 'part flood',
  cable: 'part cable',
  connector: 'part connector',
  'supply-part': 'part supply',
  'controller-part': 'part controller',
  'receiver-part': 'part receiver',
  circuit: 'circuit',
  supply: 'supply',
  output: 'supply',
  controller: 'controller',
  port: 'controller',
  prop: 'prop',
  run: 'run',
  tap: 'run',
};

/** A draft for each name within a span that nothing in the plan has. */
export function draftsAt(analysis: Analysis, uri: string, span: { start: number; end: number }): Draft[] {
  return problemsOf(analysis, uri).flatMap((problem) => {
    if (problem.code !== 'unknown-name' || !overlaps(problem, span)) return [];
    return draftFor(analysis, uri, problem) ?? [];
  });
}

function draftFor(analysis: Analysis, uri: string, problem: Problem): Draft | undefined {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, problem.start);
  if (token === undefined || token.item.kind !== 'word' || token.step !== undefined) return undefined;
  const name = token.item.text;
  const entry = wanted(token);
  if (entry === undefined || isTaken(analysis, name)) return undefined;
  const names: NamesOfKind = (kinds) =>
    kinds.flatMap((kind) => (isNamed(kind) ? [...namedOfKind(analysis.plan, kind).keys()] : []));
  const { at, before, after } = placeOf(token, entry);
  return {
    title: `Declare ${entry.word} ${name}, to be filled in`,
    problem,
    uri,
    at,
    snippet: `${before}${entrySnippet(entry, names, name)}${after}`,
  };
}

/** The statement that would declare the name at a token; undefined where no name of a declaration is due. */
function wanted({ path, index }: Token): Entry | undefined {
  const line = entryOfPath(path);
  const value = line === undefined ? undefined : readLine(path.at(-1)?.items ?? [], line).parts[index]?.phrase?.value;
  const kinds: readonly Kind[] = value?.type === 'reference' ? value.to : value?.type === 'path' ? ['place'] : [];
  const word = kinds.map((kind) => DECLARED_BY[kind]).find((found) => found !== undefined);
  return TOP_ENTRIES.find((entry) => entry.word === word);
}

type NamedKind = Exclude<Kind, 'output' | 'port' | 'tap'>;
const isNamed = (kind: Kind): kind is NamedKind => kind !== 'output' && kind !== 'port' && kind !== 'tap';

/** A thing of another kind has the name: what is wrong is then the word, and not that something is missing. */
function isTaken({ plan }: Analysis, name: string): boolean {
  return [...(Object.keys(DECLARED_BY) as Kind[]), 'board' as const, 'feed' as const, 'bond' as const].some(
    (kind) => isNamed(kind) && namedOfKind(plan, kind).has(name),
  );
}

/** Behind the last declaration of its kind in the file, or else above the one that uses it with the comments over that. */
function placeOf(token: Token, entry: Entry): { at: number; before: string; after: string } {
  const { file } = token;
  const gap = entry.block === undefined ? '\n' : '\n\n';
  for (const declaration of file.declarations.toReversed()) {
    const [statement] = declaration.statements;
    if (statement === undefined || entryOf(statement, TOP_ENTRIES)?.word !== entry.word) continue;
    const end = statement.block?.span.end ?? statement.span.end;
    const rest = declaration.text.slice(end).search(/[\r\n]|$/);
    return { at: file.offsets.of(declaration) + end + rest, before: gap, after: '' };
  }
  const top = token.declaration.text.search(/\S/);
  return { at: token.base + top, before: '', after: '\n\n' };
}
