import { expectationsOf, type TestOutcome, unreadTests } from '../../analysis/expectations.ts';
import { count } from '../../model/texts.ts';
import { VERSION } from '../../model/version.ts';
import { type Command, type CommandArguments, choiceOf, filesOf } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { renderJson } from '../json.ts';
import { openPlans } from '../open-plans.ts';
import { type Line, renderPage, styled, wrap } from '../page.ts';
import { placeOf } from '../place.ts';
import type { OpenPlan, UnreadFile, Workspace } from '../workspace.ts';

export const test: Command = {
  name: 'test',
  summary: 'Runs the expect and measured lines of a plan',
  help: `
festoon test [OPTIONS] FILE…

Computes what the expect lines of plans are about and says which of them hold, in the worst corner where a plan states
tolerances. Readings (measured lines) are compared with what is computed. A line that cannot be read or computed does
not hold.

  --format text|json  For people (the default) or for programs; the schema of the JSON is
                      server/src/cli/schema/test.schema.json
  --root DIR          The folder that "use" lines may not leave; see festoon help check

Exit codes: 0 all hold; 1 some do not; 2 the command line or a named file cannot be used; 3 an error in Festoon itself.
`,
  options: { format: { type: 'string' }, root: { type: 'string' } },
  run: runTest,
};

interface TestedPlan {
  readonly name: string;
  readonly outcomes: readonly (TestOutcome & { readonly file: string; readonly line: number })[];
  /** Lines that could not be read. */
  readonly unreadLines: number;
}

function runTest(args: CommandArguments, io: Io): Exit {
  const output = choiceOf(args, 'format', ['text', 'json'], 'text');
  const { workspace, plans, unread } = openPlans(args, io, filesOf(args));
  const tested = plans.map((plan) => testPlan(workspace, plan));
  if (output === 'json') io.out(renderJson(testJson(tested, unread)));
  else io.out(renderPage(textPage(tested, unread, io.columns ?? 100), io.colour));
  if (unread.length > 0) return EXIT.usage;
  const failed = tested.some((plan) => plan.unreadLines > 0 || plan.outcomes.some(({ passed }) => !passed));
  return failed ? EXIT.findings : EXIT.clean;
}

function testPlan(workspace: Workspace, plan: OpenPlan): TestedPlan {
  const { analysis } = plan;
  const outcomes = expectationsOf(analysis).flatMap((outcome) => {
    const file = analysis.files.find(({ uri }) => uri === outcome.origin.uri);
    if (file === undefined) return [];
    return [{ ...outcome, file: workspace.nameOf(plan, file.uri), line: placeOf(file, outcome.origin).line }];
  });
  return { name: plan.name, outcomes, unreadLines: unreadTests(analysis) };
}

function textPage(tested: readonly TestedPlan[], unread: readonly UnreadFile[], width: number): Line[] {
  const lines = unread.map(({ name, reason }): Line => [styled(name, 'strong'), ` ${reason}.`]);
  for (const { name, outcomes, unreadLines } of tested) {
    if (lines.length > 0) lines.push([]);
    for (const { kind, text, computed, passed, message, file, line } of outcomes) {
      const word = passed ? styled('holds', 'good') : styled('fails', 'error');
      lines.push([word, `  ${kind} ${text}`, styled(`  ${file}:${line}`, 'faint')]);
      const detail = message ?? (computed === undefined ? undefined : `computed: ${computed}`);
      if (detail !== undefined) lines.push(...wrap(detail, width - 7).map((each): Line => [`       ${each}`]));
    }
    const held = outcomes.filter(({ passed }) => passed).length;
    const left = unreadLines === 0 ? '' : `, ${count(unreadLines, 'line')} could not be read: festoon check says why`;
    const sum =
      outcomes.length === 0 && unreadLines === 0
        ? 'nothing to test: write a line such as "expect eaves at least 11 V".'
        : `${held} of ${outcomes.length} hold${left}.`;
    lines.push([styled(`${name}: `, 'strong'), sum]);
  }
  return lines;
}

function testJson(tested: readonly TestedPlan[], unread: readonly UnreadFile[]): object {
  return {
    format: 'festoon-test',
    version: 1,
    festoon: VERSION,
    plans: tested.map(({ name, outcomes, unreadLines }) => ({
      file: name,
      passed: outcomes.filter(({ passed }) => passed).length,
      failed: outcomes.filter(({ passed }) => !passed).length,
      unreadLines,
      tests: outcomes.map(({ kind, text, computed, passed, message, file, line }) => ({
        kind,
        text,
        passed,
        computed,
        message,
        file,
        line,
      })),
    })),
    unread: unread.map(({ name, trouble, reason }) => ({ file: name, code: trouble, message: `${name} ${reason}.` })),
  };
}
