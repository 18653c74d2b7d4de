import type { Analysis } from '../analysis/analysis.ts';
import { resolveUse } from '../analysis/resolve-use.ts';
import { closest } from '../model/spelling.ts';
import { type FileEdit, overlaps } from './file-span.ts';
import { type Problem, problemsOf } from './problems.ts';
import { pathsFrom } from './relative-path.ts';

/** A way out where a `use` line leads to no file: another path, or the file itself. */
export interface PathFix {
  readonly title: string;
  readonly problem: Problem;
  readonly preferred: boolean;
  /** Or the key of a file to be made, empty. */
  readonly cure: FileEdit | { readonly creates: string };
}

const MOST_PATHS = 3;

/** For the paths that a span touches; `known` are the plan files that there are, `root` is the folder that none may leave. */
export function pathFixesAt(
  analysis: Analysis,
  uri: string,
  span: { readonly start: number; readonly end: number },
  known: Iterable<string>,
  root: string,
): PathFix[] {
  const missing = problemsOf(analysis, uri).filter(({ code }) => code === 'missing-file');
  return missing.filter((problem) => overlaps(problem, span)).flatMap((problem) => fixesOf(problem, uri, known, root));
}

function fixesOf(problem: Problem, uri: string, known: Iterable<string>, root: string): PathFix[] {
  const { origin } = problem.finding;
  // A text that is still being written has no quote at its end.
  const written = origin.declaration.text.slice(origin.start, origin.end).replace(/^"|"$/g, '');
  const others = new Map(pathsFrom(uri, known, root).map(({ path }) => [stemOf(path), path]));
  const stem = stemOf(written);
  const near = others.get(stem) ?? others.get(closest(stem, others.keys()) ?? '');
  const named = [...others.values()].filter((path) => nameOf(path) === nameOf(written)).sort();
  const paths = [...new Set(near === undefined ? named : [near, ...named])].slice(0, MOST_PATHS);
  const target = resolveUse(uri, written, root);
  const fixes = paths.map((path): PathFix => {
    const cure = { uri, start: problem.start, end: problem.end, text: `"${path}"` };
    return { title: `Use "${path}"`, problem, preferred: paths.length === 1, cure };
  });
  if (target === undefined || !target.endsWith('.festoon')) return fixes;
  return [
    ...fixes,
    { title: `Create "${written}", an empty file`, problem, preferred: false, cure: { creates: target } },
  ];
}

/** What all plan files end with tells nothing. */
const stemOf = (path: string): string => path.replace(/\.festoon$/, '');
const nameOf = (path: string): string => path.slice(path.lastIndexOf('/') + 1);
