import { type Analysis, levelOf } from '#server/analysis/analysis.ts';
import { offsetsOf } from '#server/analysis/host.ts';
import { checkJson } from '#server/cli/check-json.ts';
import { placedFindings } from '#server/cli/findings.ts';
import { reportOf } from '#server/cli/report.ts';
import { solveJson } from '#server/cli/solve-json.ts';
import { svgFile } from '#server/drawing/svg.ts';
import { cardMarkdown, cardText } from '#server/ide/card.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { definitionAt } from '#server/ide/definition.ts';
import { fileIn } from '#server/ide/file-span.ts';
import { foldsOf } from '#server/ide/folding.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { problemsOf } from '#server/ide/problems.ts';
import { mentionsAt } from '#server/ide/references.ts';
import { selectionsAt } from '#server/ide/selection.ts';
import { semanticTokensOf } from '#server/ide/semantic-tokens.ts';
import { outlineOf } from '#server/ide/symbols.ts';
import type { Origin } from '#server/model/finding.ts';
import { papersOf } from '#server/papers/papers.ts';

/** What must hold of the analysis of any text whatever, and of all that is shown of it. Each throws what is amiss. */

const NO_NUMBER = /\b(?:NaN|Infinity|undefined)\b|\[object |-0(?:\.0+)? [AVW]\b/;

/** No text for people may hold what only a fault of ours writes; what the plan says itself does not count. */
function holdText(shown: string, where: string, source: string): void {
  const found = NO_NUMBER.exec(shown);
  if (found !== null && !source.includes(found[0].trim())) {
    const from = Math.max(0, found.index - 80);
    throw new Error(`${where} says ${found[0]}: ${shown.slice(from, found.index + 80)}`);
  }
}

/** Findings: known codes, words that make sense, places inside their file, and no fault of ours. */
export function holdFindings(analysis: Analysis, source: string): void {
  for (const finding of analysis.findings) {
    if (finding.code === 'internal') throw new Error(finding.message);
    holdText(finding.message, finding.code, source);
    levelOf(finding);
    const edits = finding.fixes.flatMap((fix) => fix.edits);
    for (const { origin } of [finding, ...finding.related, ...edits]) holdOrigin(analysis, origin, finding.code);
  }
}

function holdOrigin(analysis: Analysis, origin: Origin, what: string): void {
  const file = fileIn(analysis, origin.uri);
  const at = file === undefined ? undefined : offsetsOf(file, origin);
  if (file === undefined || at === undefined) throw new Error(`${what} stands in no file of the plan`);
  if (!(at.start >= 0 && at.start <= at.end && at.end <= file.text.length))
    throw new Error(`${what} stands at ${at.start}–${at.end} of ${file.text.length}`);
}

/** Everything that an editor shows of a file without pointing at a place. */
export function viewsOf(analysis: Analysis, uri: string) {
  const file = fileIn(analysis, uri);
  if (file === undefined) throw new Error(`${uri} is not part of the plan`);
  return {
    problems: problemsOf(analysis, uri).map(({ code, level, start, end, message }) => ({
      code,
      level,
      start,
      end,
      message,
    })),
    outline: outlineOf(file),
    folds: foldsOf(file),
    hints: inlayHintsOf(analysis, uri, { start: 0, end: file.text.length }).map(({ offset, text, family }) => ({
      offset,
      text,
      family,
    })),
    tokens: semanticTokensOf(analysis, uri),
  };
}

export function holdViews(analysis: Analysis, uri: string, source: string): void {
  const views = viewsOf(analysis, uri);
  holdText(JSON.stringify([views.problems, views.hints]), 'a view', source);
  const length = fileIn(analysis, uri)?.text.length ?? 0;
  const spans = [...views.problems, ...views.outline, ...views.folds, ...views.tokens];
  for (const { start, end } of spans)
    if (!(start >= 0 && start <= end && end <= length)) throw new Error(`a view spans ${start}–${end} of ${length}`);
  for (const { offset } of views.hints) if (!(offset >= 0 && offset <= length)) throw new Error(`a hint at ${offset}`);
}

/** Everything that an editor shows at a place. */
export function holdPlace(analysis: Analysis, uri: string, offset: number, source: string): void {
  const file = fileIn(analysis, uri);
  if (file === undefined) return;
  const hover = hoverAt(analysis, uri, offset);
  if (hover !== undefined) {
    holdText(cardText(hover.card), 'a hover', source);
    cardMarkdown(hover.card);
  }
  for (const item of completeAt(analysis, uri, offset)?.items ?? [])
    holdText(`${item.label} ${item.detail ?? ''}`, 'a completion', source);
  definitionAt(analysis, uri, offset);
  [...mentionsAt(analysis, uri, offset)];
  selectionsAt(file, offset);
}

/** What programs and paper get. JSON writes null for a number that is none, so it is looked at before it is written. */
export function holdOutputs(analysis: Analysis, source: string): void {
  const report = reportOf(analysis);
  holdNumbers(solveJson('plan.festoon', report, analysis.account), 'solve');
  const plan = { name: 'plan.festoon', nameOf: () => 'plan.festoon', findings: placedFindings(analysis), report };
  holdNumbers(checkJson([{ ...plan, accepted: [], coverage: [] }], []), 'check');
  for (const { title, tables, drawings = [] } of papersOf(analysis)) {
    holdText(JSON.stringify(tables), `paper "${title}"`, source);
    for (const drawing of drawings) holdText(svgFile(drawing), `drawing "${drawing.title}"`, source);
  }
}

function holdNumbers(value: unknown, path: string): void {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`${path} is ${value}`);
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inner] of Object.entries(value)) holdNumbers(inner, `${path}.${key}`);
}
