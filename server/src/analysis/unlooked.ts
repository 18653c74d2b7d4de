import type { Finding, Origin } from '../model/finding.ts';
import type { Analysis } from './analysis.ts';
import { leavesOut } from './follow-ups.ts';

/** Something that nothing could be planned for, in the words of the plan, and why. */
export interface Unlooked {
  readonly about: string;
  readonly reason: string;
}

/**
 * What of a plan could not be looked at: what could not be read, what no voltages were found for, and the lines of runs
 * that stand on either.
 */
export function unlookedIn(analysis: Analysis): Unlooked[] {
  const hidden = analysis.findings.filter(hides);
  if (hidden.length === 0) return [];
  const found = hidden.map(({ origin, message }) => {
    const statement = analysis.statements.find(({ whole }) => lies(origin, whole));
    const about = statement === undefined ? firstWords(origin) : nameOf(statement);
    return { about, reason: message };
  });
  return [...found, ...lostLines(analysis, hidden)];
}

/** Whether a finding means that there may be more to plan than was seen. */
export function hides(finding: Finding): boolean {
  return finding.code === 'unsolved' || leavesOut(finding);
}

/** Lines of runs that should hold pixels and hold none, though they can be read themselves. */
function lostLines({ statements, plan }: Analysis, hidden: readonly Finding[]): Unlooked[] {
  const touched = new Set(hidden.map(({ origin }) => origin.declaration));
  return statements.flatMap((statement) => {
    const run = statement.word === 'run' ? plan.runs.get(statement.name?.text ?? '') : undefined;
    if (statement.word !== 'run' || run === undefined) return [];
    const laid = new Set(run.pieces.map(({ origin }) => origin.start));
    return statement.block.flatMap((line): Unlooked[] => {
      const start = (('name' in line && line.name?.origin) || line.keyword).start;
      const { whole } = line;
      const isSaid = touched.has(whole.declaration) && hidden.some(({ origin }) => lies(origin, whole));
      if (NO_PIXELS.has(line.word) || laid.has(start) || isSaid) return [];
      const reason = `The line "${nameOf(line)}" stands on something else that could not be read.`;
      return [{ about: nameOf(statement), reason }];
    });
  });
}

const NO_PIXELS: ReadonlySet<string> = new Set(['lead', 'gap', 'cut']);

function lies(inner: Origin, outer: Origin): boolean {
  return inner.declaration === outer.declaration && inner.start >= outer.start && inner.end <= outer.end;
}

function nameOf({ word, name }: { readonly word: string; readonly name: { readonly text: string } | undefined }) {
  return name === undefined ? word : `${word} ${name.text}`;
}

/** Of a statement that was not even told to be one. */
function firstWords({ declaration, start }: Origin): string {
  return declaration.text.slice(start).split(/\s+/, 2).join(' ');
}
