import type { Statement } from '#grammar/ast.ts';
import { exact } from '#grammar/exact.ts';
import type { Declaration, SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { bindLine } from './bind/bind.ts';
import type { BoundLine } from './bound.ts';
import { characterFindings } from './characters.ts';
import { collector, type Finding } from './finding.ts';
import { syntaxFindings } from './syntax.ts';

export type TopEntry = (typeof STATEMENTS)[number];
export type BoundStatement = BoundLine<TopEntry>;

/** What one declaration says by itself, before any name is looked up. */
export interface BoundDeclaration {
  readonly statements: readonly BoundStatement[];
  readonly findings: readonly Finding[];
}

const bound = new WeakMap<Declaration, BoundDeclaration>();

/** Binds a declaration; the answer depends on its text alone and is kept as long as the declaration is. */
export function bindDeclaration(file: SourceFile, declaration: Declaration): BoundDeclaration {
  const kept = bound.get(declaration);
  if (kept !== undefined) return kept;
  const { findings, report } = collector();
  const ctx = { uri: file.uri, declaration, report };
  for (const finding of syntaxFindings(file.uri, declaration)) report(finding);
  for (const finding of characterFindings(file.uri, declaration)) report(finding);
  const statements: BoundStatement[] = [];
  let strays: Statement[] = [];
  for (const statement of declaration.statements) {
    if (belongsInside(statement)) {
      strays.push(statement);
      continue;
    }
    const line = bindLine(ctx, statement, STATEMENTS, 'a plan');
    if (line !== undefined) statements.push(line);
  }
  const first = strays[0];
  if (first !== undefined) {
    const words = [...new Set(strays.map(firstWord))].slice(0, 4).join(', ');
    report({
      code: 'stray-line',
      origin: { uri: file.uri, declaration, start: first.span.start, end: sure(first.items[0]).span.end },
      message: `Lines that start with ${words} belong inside the { } of a ${owners(firstWord(first))}. Is a line or a { missing above?`,
    });
    strays = [];
  }
  const result = { statements: exact(statements), findings: exact(findings) };
  bound.set(declaration, result);
  return result;
}

const INSIDE: ReadonlyMap<string, readonly string[]> = insideWords();
const TOP: ReadonlySet<string> = new Set(STATEMENTS.map((entry) => entry.word.replace(/ .*/, '')));

function belongsInside(statement: Statement): boolean {
  const word = firstWord(statement);
  return !TOP.has(word) && INSIDE.has(word);
}

function owners(word: string): string {
  return sure(INSIDE.get(word)).join(' or ');
}

function firstWord(statement: Statement): string {
  const first = statement.items[0];
  return first?.kind === 'word' ? first.text : '';
}

function insideWords(): Map<string, string[]> {
  const map = new Map<string, string[]>();
  for (const entry of STATEMENTS as readonly Entry[]) {
    for (const line of entry.block ?? []) map.set(line.word, [...(map.get(line.word) ?? []), entry.word]);
  }
  return map;
}
