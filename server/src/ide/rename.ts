import { readSource, type SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import { UNITS } from '#grammar/units.ts';
import { STATEMENTS, TOP_KEYWORDS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { buildPlan } from '../model/builders/build-plan.ts';
import { type BoundStatement, bindDeclaration } from '../model/declarations.ts';
import type { Finding, Origin } from '../model/finding.ts';
import type { NameUse } from '../model/plan.ts';
import { type FileEdit, type FileSpan, fileIn, spanOf } from './file-span.ts';
import { declarationOf, elementsOf, namesOf } from './names.ts';
import { mentionsOf } from './references.ts';
import { type Token, tokenAt } from './token-at.ts';

/** Why something cannot be renamed, or not to that. */
export interface Refusal {
  readonly refused: string;
}

export interface RenameTarget {
  /** The name at the offset, which is replaced among the others. */
  readonly start: number;
  readonly end: number;
  readonly name: string;
}

/** What would be renamed at an offset, or why nothing can be. */
export function renameTargetAt(analysis: Analysis, uri: string, offset: number): RenameTarget | Refusal {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, offset);
  if (token === undefined) return { refused: 'There is no name here.' };
  const declared = declaredName(analysis, token);
  if ('refused' in declared) return declared;
  const { start, end } = token.span;
  return { start: token.base + start, end: token.base + end, name: token.declaration.text.slice(start, end) };
}

/** The edits that give the name at an offset another name everywhere; meaning stays the same, or it is refused. */
export function renameAt(analysis: Analysis, uri: string, offset: number, name: string): readonly FileEdit[] | Refusal {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, offset);
  if (token === undefined) return { refused: 'There is no name here.' };
  const declared = declaredName(analysis, token);
  if ('refused' in declared) return declared;
  const unfit = whyUnfit(name);
  if (unfit !== undefined) return { refused: unfit };
  const edits = namedPlaces(analysis, declared).map((span) => ({ ...span, text: name }));
  return keepsMeaning(analysis, edits)
    ? edits
    : { refused: `"${name}" already means something else here. Choose another name.` };
}

/** Where the name is declared. Copies without a name of their own go by the name of their prop. */
function declaredName(analysis: Analysis, token: Token): Origin | Refusal {
  const origin = declarationOf(analysis, token);
  const thing = origin === undefined ? undefined : namesOf(analysis).declaredAt(origin);
  if (origin === undefined || thing === undefined) {
    return {
      refused: token.item.kind === 'word' ? 'This word is not declared in the plan.' : 'There is no name here.',
    };
  }
  if (thing.kind === 'output')
    return { refused: 'Outputs go by their numbers, which stand in the block of their supply.' };
  if (thing.kind !== 'element' || thing.named) return origin;
  const prop = analysis.plan.props.get(sure(thing.madeOf));
  return prop?.origin ?? { refused: 'This line has no name of its own.' };
}

const NAME = /^[\p{L}_][\p{L}\p{M}\p{N}_²-]*\+?$/u;

/** Words that would read as something else where names stand. */
const TAKEN_WORDS: ReadonlySet<string> = takenWords();

function whyUnfit(name: string): string | undefined {
  if (!NAME.test(name))
    return `"${name}" cannot be a name: names are words of letters, digits, - and _, and start with a letter.`;
  return TAKEN_WORDS.has(name) ? `"${name}" is a word of the language. Choose another name.` : undefined;
}

function takenWords(): Set<string> {
  const words = new Set<string>(['to', 'start', 'end', ...TOP_KEYWORDS, ...UNITS.keys()]);
  const visit = (entries: readonly Entry[]) => {
    for (const entry of entries) {
      for (const phrase of entry.phrases) if (phrase.word !== undefined) words.add(phrase.word);
      visit(entry.block ?? []);
    }
  };
  visit(STATEMENTS);
  return words;
}

/** Every place where the name is written. */
function namedPlaces(analysis: Analysis, declared: Origin): FileSpan[] {
  const places: FileSpan[] = mentionsOf(analysis, declared).map(({ uri, start, end }) => ({ uri, start, end }));
  const thing = namesOf(analysis).declaredAt(declared);
  if (thing?.kind !== 'prop') return places;
  for (const statement of analysis.statements) {
    if (statement.word !== 'run') continue;
    for (const element of elementsOf(statement)) {
      if (element.named || element.madeOf !== thing.name) continue;
      for (const use of namesOf(analysis).usesOf(element.origin)) places.push(...[spanOf(analysis, use) ?? []].flat());
    }
  }
  return places;
}

/** Reads the plan as it would be: every name must lead to the same place as before, and no name may be lost or doubled. */
function keepsMeaning(analysis: Analysis, edits: readonly FileEdit[]): boolean {
  const changed = new Map<string, SourceFile>();
  for (const file of analysis.files) {
    const own = edits.filter((edit) => edit.uri === file.uri).sort((a, b) => a.start - b.start);
    const between = own.map(({ start, text }, index) => file.text.slice(own[index - 1]?.end ?? 0, start) + text);
    const text = between.join('') + file.text.slice(own.at(-1)?.end ?? 0);
    changed.set(file.uri, own.length === 0 ? file : readSource(file.uri, text, file));
  }
  const statements = analysis.statements.map((statement) => counterpart(analysis, changed, statement));
  if (statements.includes(undefined)) return false;
  const before = namesIn(analysis.statements);
  const after = namesIn(statements as BoundStatement[]);
  if (before.faults !== after.faults || before.uses.length !== after.uses.length) return false;
  const shifts = new Map([...changed.keys()].map((uri) => [uri, shiftsBy(edits.filter((edit) => edit.uri === uri))]));
  const moved = (origin: Origin): string => {
    const span = spanOf(analysis, origin);
    return span === undefined ? '' : `${span.uri} ${span.start + (shifts.get(span.uri)?.(span.start) ?? 0)}`;
  };
  const now = ({ uri, declaration, start }: Origin) =>
    `${uri} ${(changed.get(uri)?.offsets.get(declaration) ?? 0) + start}`;
  return before.uses.every((use, index) => {
    const other = after.uses[index];
    return other !== undefined && moved(use.origin) === now(other.origin) && moved(use.target) === now(other.target);
  });
}

/** By how much some edits of a file that do not overlap move what stands at an offset. */
function shiftsBy(edits: readonly FileEdit[]): (offset: number) => number {
  const inOrder = [...edits].sort((a, b) => a.end - b.end);
  let shift = 0;
  const shifts = inOrder.map(({ start, end, text }) => (shift += text.length - (end - start)));
  return (offset) => {
    // A plan of 20,000 lines has thousands of edits and of names that they move.
    let [low, high] = [0, inOrder.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (sure(inOrder[middle]).end <= offset) low = middle + 1;
      else high = middle;
    }
    return shifts[low - 1] ?? 0;
  };
}

/** The statement at the same place among the declarations of the changed file. */
function counterpart(
  analysis: Analysis,
  changed: ReadonlyMap<string, SourceFile>,
  statement: BoundStatement,
): BoundStatement | undefined {
  const { uri, declaration } = statement.whole;
  const [before, after] = [fileIn(analysis, uri), changed.get(uri)];
  if (before === undefined || after === undefined || before.declarations.length !== after.declarations.length)
    return undefined;
  if (before === after) return statement;
  const fresh = after.declarations[before.declarations.indexOf(declaration)];
  const index = bindDeclaration(before, declaration).statements.indexOf(statement);
  return fresh === undefined || index < 0 ? undefined : bindDeclaration(after, fresh).statements[index];
}

function namesIn(statements: readonly BoundStatement[]): { uses: readonly NameUse[]; faults: number } {
  let faults = 0;
  const { uses } = buildPlan(statements, (finding: Pick<Finding, 'code'>) => {
    if (finding.code === 'unknown-name' || finding.code === 'duplicate-name') faults++;
  });
  return { uses: uses(), faults };
}
