import { VERSION } from '../../model/version.ts';
import { htmlReport } from '../../papers/html.ts';
import { type Change, type Comparison, compare, isEmpty } from '../../review/compare.ts';
import { comparisonDrawings, comparisonPaper } from '../../review/comparison-paper.ts';
import { factsOf } from '../../review/facts.ts';
import { cautions } from '../cautions.ts';
import { type Command, type CommandArguments, choiceOf, UsageError } from '../command.ts';
import { comparisonJson } from '../comparison-json.ts';
import { comparisonMarkdown } from '../comparison-markdown.ts';
import { driverSides, type Side, sidesOf } from '../diff-sides.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { renderJson } from '../json.ts';
import { type Line, renderPage, styled } from '../page.ts';
import { renderComparison } from '../render-comparison.ts';

export const diff: Command = {
  name: 'diff',
  summary: 'Tells what a change of the plan does, not which lines it touches',
  help: `
festoon diff [OPTIONS] OLD NEW
festoon diff [OPTIONS] FILE

Compares two versions of a plan in their consequences: pixels, amps, least voltages, amps and watts of supplies, fused
outputs and circuits, cables per route, copper, parts, cost and season, addresses that move, and which findings are new
and which are gone. OLD and NEW are files, folders, or files
of a git revision, written REVISION:PATH as git does (":PATH" is what is staged). With one name, the last commit is
compared with what is on disk.

  --format text|markdown|json|html  For people (the default), for a pull request (nothing at all where nothing changes),
                                    for programs (schema: server/src/cli/schema/diff.schema.json), or a page to print
  --fail-on findings|worse|change|never
                                    When to end with exit code 1: new errors or warnings (the default); those, or a
                                    figure that gets worse by more than --tolerance; any consequence; or never
  --tolerance SHARE                 With --fail-on worse: by how much a figure may get worse, "0 %" where it is not said
  --root DIR                        The folder that "use" lines may not leave
  --driver                          For git's own diff: git config diff.festoon.command "festoon diff --driver", and
                                    in .gitattributes: *.festoon diff=festoon. The files beside the changed one are
                                    taken from the last commit.

Examples: festoon diff boathouse/plan.festoon
          festoon diff HEAD~5:boathouse/plan.festoon boathouse/plan.festoon --format markdown

Exit codes: 0 told; 1 by --fail-on; 2 the command line or a file cannot be used; 3 an error in Festoon itself.
`,
  options: {
    format: { type: 'string' },
    'fail-on': { type: 'string' },
    tolerance: { type: 'string' },
    root: { type: 'string' },
    driver: { type: 'boolean' },
  },
  run: runDiff,
};

function runDiff(args: CommandArguments, io: Io): Exit {
  const format = choiceOf(args, 'format', ['text', 'markdown', 'json', 'html'], 'text');
  const failOn = choiceOf(args, 'fail-on', ['findings', 'worse', 'change', 'never'], 'findings');
  const tolerance = toleranceOf(args);
  const isDriver = args.values['driver'] === true;
  if (!isDriver && (args.names.length < 1 || args.names.length > 2))
    throw new UsageError('name two versions of a plan, or one file to compare with the last commit');
  const sides = isDriver ? driverSides(args, io) : sidesOf(args, io);
  if (sides === undefined) return EXIT.usage;
  const [before, after] = sides;
  const comparison = compare(factsOf(before.analysis), factsOf(after.analysis));
  io.out(rendered(format, before, after, comparison, io));
  // git takes any other code of a driver for a failure.
  return isDriver ? EXIT.clean : exitOf(failOn, tolerance, comparison);
}

function rendered(format: string, before: Side, after: Side, comparison: Comparison, io: Io): string {
  const title = after.analysis.plan.design.title ?? after.name;
  switch (format) {
    case 'markdown':
      return comparisonMarkdown(title, comparison);
    case 'json':
      return renderJson(comparisonJson(before.name, after.name, comparison));
    case 'html':
      return htmlReport({ title, foot: `Computed by Festoon ${VERSION}` }, [
        comparisonPaper(before.name, after.name, comparison),
        ...comparisonDrawings(before.analysis, after.analysis, comparison),
      ]);
    default:
      return renderPage(textPage(before, after, comparison, io.columns ?? WIDTH), io.colour);
  }
}

/** Where the output is no terminal. */
const WIDTH = 100;

function textPage(before: Side, after: Side, comparison: Comparison, width: number): Line[] {
  const head: Line = [styled(`${before.name} → ${after.name}`, 'strong')];
  if (isEmpty(comparison)) return [head, ['Nothing that matters changes.']];
  return [head, [], ...renderComparison(comparison, width), ...cautions(width)];
}

/** A share, 0 to 1. */
function toleranceOf(args: CommandArguments): number {
  const given = args.values['tolerance'];
  if (typeof given !== 'string') return 0;
  const share = Number(given.replace('%', '').trim() || Number.NaN) / 100;
  if (!(share >= 0 && share <= 100)) throw new UsageError('--tolerance is a share: --tolerance "5 %"');
  return share;
}

function exitOf(failOn: string, tolerance: number, comparison: Comparison): Exit {
  const isFound = comparison.newFindings.some(({ level }) => level !== 'information');
  if ((failOn === 'findings' || failOn === 'worse') && isFound) return EXIT.findings;
  if (failOn === 'worse' && comparison.sections.some(({ changes }) => changes.some(isWorseBy(tolerance))))
    return EXIT.findings;
  return failOn === 'change' && !isEmpty(comparison) ? EXIT.findings : EXIT.clean;
}

const isWorseBy =
  (tolerance: number) =>
  ({ verdict, before, after }: Change): boolean => {
    if (verdict !== 'worse' || before === undefined || after === undefined) return false;
    return Math.abs(after.value - before.value) > tolerance * Math.abs(before.value);
  };
