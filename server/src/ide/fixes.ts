import { inNewlinesOf } from '#grammar/newline.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { CHECK_BY_CODE } from '../checks/registry.ts';
import type { Fix } from '../model/finding.ts';
import { finish, type Steps } from '../model/steps.ts';
import { whyNoFix } from '../planning/suggestions.ts';
import { type FileEdit, overlaps, spanOf } from './file-span.ts';
import { type Problem, problemsOf } from './problems.ts';

/** A fix for a problem, as edits of files. */
export interface Remedy {
  readonly title: string;
  readonly problem: Problem;
  readonly edits: readonly FileEdit[];
  /** At most one of those offered together. */
  readonly preferred: boolean;
  /** Why it cannot be done after all; it then has no edits, and is shown to say so. */
  readonly disabled?: string;
  /** Of one that has still to be tried on the plan as a whole: what to ask for its edits by (see remedyOf). */
  readonly source?: FixSource;
}

/** A fix by the numbers of its finding and of itself among the fixes of that. */
export interface FixSource {
  readonly finding: number;
  readonly fix: number;
}

interface Span {
  readonly start: number;
  readonly end: number;
}

/** What can be done about the problems that a span of a file touches. */
export function remediesAt(analysis: Analysis, uri: string, span: Span): Remedy[] {
  return finish(remedySteps(analysis, uri, span));
}

/** The same in steps of a few milliseconds. With `defers`, some are still to be tried when one is taken. */
export function* remedySteps(analysis: Analysis, uri: string, span: Span, defers = false): Steps<Remedy[]> {
  const remedies: Remedy[] = [];
  let hasPreferred: boolean = false;
  const seen = new Set<string>();
  for (const problem of problemsOf(analysis, uri)) {
    if (problem.code !== problem.finding.code || !overlaps(problem, span)) continue;
    const fixes = yield* analysis.fixSteps(problem.finding);
    const refusal = fixes.length > 0 ? undefined : whyNoFix(analysis, problem.finding);
    if (refusal !== undefined && !seen.has(refusal.title)) {
      seen.add(refusal.title);
      remedies.push({ title: refusal.title, problem, edits: [], preferred: false, disabled: refusal.reason });
    }
    for (const [index, fix] of fixes.entries()) {
      if (!defers && fix.holds?.() === false) continue;
      const edits = editsOf(analysis, fix);
      // Several findings on one word may have the same cure: it is offered once.
      const key = JSON.stringify(edits);
      if (edits === undefined || seen.has(key)) continue;
      seen.add(key);
      const preferred: boolean = fix.preferred && !hasPreferred;
      hasPreferred ||= preferred;
      const remedy = { title: fix.title, problem, edits, preferred };
      const source = { finding: analysis.findings.indexOf(problem.finding), fix: index };
      remedies.push(defers && fix.holds !== undefined ? { ...remedy, source } : remedy);
    }
  }
  return remedies;
}

/** The edits of a fix that was offered untried, in steps; undefined where it does not hold, or is not there any more. */
export function* remedyOf(analysis: Analysis, source: FixSource): Steps<FileEdit[] | undefined> {
  const finding = analysis.findings[source.finding];
  if (finding === undefined) return undefined;
  const fix = (yield* analysis.fixSteps(finding))[source.fix];
  yield;
  return fix === undefined || fix.holds?.() === false ? undefined : editsOf(analysis, fix);
}

/** What changes the display itself is for a person to choose; but a fuse that the wire cannot stand has one cure. */
const SAFE: ReadonlySet<string> = new Set(['fuse-too-large']);

/**
 * All fixes of a file that need no choice and no computing: spelling, units, quotes, and fuses that are too large for the
 * wire behind them. Those that change what is built (injection points, cables) are left to the person. Of two that touch the same text the first one counts.
 */
export function fixAll(analysis: Analysis, uri: string): FileEdit[] {
  const chosen: FileEdit[] = [];
  for (const { finding } of problemsOf(analysis, uri)) {
    if (CHECK_BY_CODE.get(finding.code)?.run !== undefined && !SAFE.has(finding.code)) continue;
    const fix = finding.fixes.find((candidate) => candidate.preferred);
    const edits = fix === undefined ? undefined : editsOf(analysis, fix);
    if (edits === undefined || edits.length === 0) continue;
    if (edits.some((edit) => chosen.some((other) => other.uri === edit.uri && overlaps(other, edit)))) continue;
    chosen.push(...edits);
  }
  return chosen;
}

/** The edits in file offsets; undefined where one of them has no place in the plan as it stands. */
function editsOf(analysis: Analysis, fix: Fix): FileEdit[] | undefined {
  const edits: FileEdit[] = [];
  for (const { origin, text } of fix.edits) {
    const span = spanOf(analysis, origin);
    if (span === undefined) return undefined;
    // What is put in ends its lines as the file does.
    const file = analysis.files.find((other) => other.uri === origin.uri);
    edits.push({ ...span, text: inNewlinesOf(file?.text ?? '', text) });
  }
  return edits;
}
