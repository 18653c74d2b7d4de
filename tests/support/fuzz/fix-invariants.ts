import { type Analysis, levelOf } from '#server/analysis/analysis.ts';
import type { Host } from '#server/analysis/host.ts';
import { CHECK_BY_CODE } from '#server/checks/registry.ts';
import type { FileEdit } from '#server/ide/file-span.ts';
import { fixAll, type Remedy, remediesAt } from '#server/ide/fixes.ts';
import { commentsOf } from './text-invariants.ts';

/**
 * Tries every fix that is offered in a file, each on the plan as it stands. A fix settles its finding, breaks nothing,
 * keeps every comment and is not offered again. Gives how many were tried.
 */
export function holdFixes(makeHost: () => Host, main: string, uri: string): number {
  const host = makeHost();
  const before = host.analyse(main);
  const length = host.fileOf(uri)?.text.length ?? 0;
  // One that cannot be done is shown with the reason, and has nothing to try.
  const remedies = remediesAt(before, uri, { start: 0, end: length }).filter(({ disabled }) => disabled === undefined);
  for (const remedy of remedies) {
    const after = analysisAfter(makeHost(), main, remedy.edits);
    try {
      holdFix(before, after, remedy, uri);
    } catch (error) {
      throw new Error(
        `"${remedy.title}" for ${remedy.problem.code} (${remedy.problem.message}): ${(error as Error).message}`,
      );
    }
  }
  holdFixAll(makeHost, main, uri, before);
  return remedies.length;
}

/** What depends on such a mistake is only read once it is mended, with the mistakes that it has of its own. */
const HIDES: ReadonlySet<string> = new Set([
  'unknown-word',
  'unexpected-word',
  'hidden-character',
  'unknown-name',
  // A part with a quantity that cannot be read is no part yet, and nothing is looked up in what is made of it.
  'missing-unit',
  'unknown-unit',
  'wrong-dimension',
]);

function holdFix(before: Analysis, after: Analysis, { title, problem }: Remedy, uri: string): void {
  const same = (analysis: Analysis) =>
    analysis.findings.filter(({ code, message }) => code === problem.code && message === problem.message).length;
  if (same(after) >= same(before)) throw new Error('its finding is still there');
  // What is computed is promised to leave a better plan; a mended word may let a wire be seen that is too thin.
  const isComputed = CHECK_BY_CODE.get(problem.code)?.run !== undefined;
  const [old, fresh] = [errorsOf(before, isComputed), errorsOf(after, isComputed)];
  const isSeenFirst = !isComputed && HIDES.has(problem.code);
  if (fresh.length > old.length && !isSeenFirst) throw new Error(`it adds errors: ${newOnes(old, fresh).join(' | ')}`);
  holdComments(before, after);
  const length = after.files.find((file) => file.uri === uri)?.text.length ?? 0;
  const again = remediesAt(after, uri, { start: 0, end: length }).filter(
    (other) => other.title === title && other.problem.message === problem.message,
  );
  if (again.length >= same(before)) throw new Error('it is offered again');
}

/** All fixes of words and units at once settle what they are for, and leave less to mend. */
function holdFixAll(makeHost: () => Host, main: string, uri: string, before: Analysis): void {
  const edits = fixAll(before, uri);
  if (edits.length === 0) return;
  const after = analysisAfter(makeHost(), main, edits);
  const hides = before.findings.some(({ code }) => HIDES.has(code));
  if (!hides && errorsOf(after, false).length > errorsOf(before, false).length)
    throw new Error('fixing all adds errors');
  holdComments(before, after);
}

function errorsOf({ findings }: Analysis, all: boolean): string[] {
  return findings
    .filter((finding) => levelOf(finding) === 'error' && (all || CHECK_BY_CODE.get(finding.code)?.run === undefined))
    .map(({ code, message }) => `${code}: ${message}`);
}

function newOnes(old: readonly string[], fresh: readonly string[]): string[] {
  const left = [...old];
  return fresh.filter((error) => {
    const at = left.indexOf(error);
    if (at >= 0) left.splice(at, 1);
    return at < 0;
  });
}

function holdComments(before: Analysis, after: Analysis): void {
  // Marks that cannot be seen are no words of a comment; a fix may take them out.
  const of = ({ files }: Analysis) => files.flatMap(({ text }) => commentsOf(text.replace(/\p{Cf}/gu, '')));
  const left = of(after);
  for (const comment of of(before)) {
    const at = left.indexOf(comment);
    if (at < 0) throw new Error(`the comment "${comment}" is gone`);
    left.splice(at, 1);
  }
}

function analysisAfter(host: Host, main: string, edits: readonly FileEdit[]): Analysis {
  host.analyse(main);
  for (const uri of new Set(edits.map((edit) => edit.uri))) {
    const placed = edits.map((edit, order) => ({ ...edit, order })).filter((edit) => edit.uri === uri);
    placed.sort((a, b) => b.start - a.start || b.order - a.order);
    let text = host.fileOf(uri)?.text ?? '';
    for (const { start, end, text: put } of placed) text = text.slice(0, start) + put + text.slice(end);
    host.setFile(uri, text);
  }
  return host.analyse(main);
}
