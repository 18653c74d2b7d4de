import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { levelOf } from '../analysis/analysis.ts';
import type { Finding, Level } from '../model/finding.ts';
import { type FileSpan, fileIn, spanOf } from './file-span.ts';

/** A finding as it stands in a file. */
export interface Problem {
  readonly code: string;
  readonly level: Level;
  readonly start: number;
  readonly end: number;
  readonly message: string;
  readonly related: readonly (FileSpan & { readonly message: string })[];
  /** The text has no effect: shown faded. */
  readonly unnecessary: boolean;
  readonly finding: Finding;
}

const MOST_PROBLEMS = 1000;
const MOST_RELATED = 8;

/** Codes of what is written but does not count. */
const WITHOUT_EFFECT: ReadonlySet<string> = new Set(['said-twice', 'accept-unused']);

/** The findings of one file in the order of its text, at most a thousand; the last then says how many more there are. */
export function problemsOf(analysis: Analysis, uri: string): Problem[] {
  const problems = analysis.findings.flatMap((finding) =>
    finding.origin.uri === uri ? problemOf(analysis, finding) : [],
  );
  problems.sort((a, b) => a.start - b.start || a.end - b.end);
  if (problems.length <= MOST_PROBLEMS) return problems;
  const shown = problems.slice(0, MOST_PROBLEMS - 1);
  const next = sure(problems[MOST_PROBLEMS - 1]);
  const message = `${problems.length - shown.length} more findings follow from here on. They are shown as those above are settled.`;
  return [...shown, { ...next, code: 'more-findings', level: 'information', message, related: [], unnecessary: false }];
}

function problemOf(analysis: Analysis, finding: Finding): Problem[] {
  const span = spanOf(analysis, finding.origin);
  if (span === undefined) return [];
  const related = finding.related.slice(0, MOST_RELATED).flatMap(({ origin, message }) => {
    const place = spanOf(analysis, origin);
    return place === undefined ? [] : [{ ...place, message }];
  });
  const { text } = sure(fileIn(analysis, span.uri));
  return [
    {
      code: finding.code,
      level: levelOf(finding),
      ...widened(text, span),
      message: finding.message,
      related,
      unnecessary: WITHOUT_EFFECT.has(finding.code),
      finding,
    },
  ];
}

/** An empty span cannot be seen or pointed at: it takes in the character behind it, or else the one before it. */
function widened(text: string, { start, end }: FileSpan): { start: number; end: number } {
  if (start < end) return { start, end };
  const isBreak = (at: number) => text[at] === undefined || text[at] === '\n' || text[at] === '\r';
  if (!isBreak(start)) return { start, end: start + 1 };
  return start > 0 && !isBreak(start - 1) ? { start: start - 1, end } : { start, end };
}
