import { coverageOf } from '../../checks/coverage.ts';
import { placedAccepted, renderAccepted } from '../accepted.ts';
import { cautions } from '../cautions.ts';
import { checkAnnotations } from '../check-annotations.ts';
import { type CheckedPlan, checkJson } from '../check-json.ts';
import { checkJunit } from '../check-junit.ts';
import { checkSarif } from '../check-sarif.ts';
import { type Command, type CommandArguments, choiceOf, filesOf } from '../command.ts';
import { countLevels, placedFindings } from '../findings.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { renderJson } from '../json.ts';
import { openPlans } from '../open-plans.ts';
import { type Line, renderPage, styled } from '../page.ts';
import { renderAccount } from '../render-account.ts';
import { renderCoverage } from '../render-coverage.ts';
import { renderCounts, renderFindings } from '../render-findings.ts';
import { reportOf } from '../report.ts';
import type { UnreadFile } from '../workspace.ts';

export const check: Command = {
  name: 'check',
  summary: 'Says what is wrong with a plan, and what it amounts to',
  help: `
festoon check [OPTIONS] FILE…

Checks plans. For each finding: its place, level and code, what is the matter, the line with the word underlined, and
the other places that take part; and what the plan accepts, with its reasons. Then the account of the display: what
every supply, output, run, feed, route and mains circuit carries, and how much of its limit that is.

A file that another of the named files uses is checked as a part of that one.

  --format FORMAT  text     for people (the default)
                   json     for programs; the schema is server/src/cli/schema/check.schema.json
                   sarif    SARIF 2.1.0, for code scanning
                   github   annotations on the lines of a pull request
                   junit    a test report
  --quiet          Findings only, without the account
  --checks         A table of all checks as well: what each looked at, or why it was skipped
  --root DIR       The folder that "use" lines may not leave. Without it: the nearest folder above the plan that holds
                   .git, else the plan's own folder.

A file may also be one of a git revision, written REVISION:PATH; ":PATH" is what is staged.

Exit codes: 0 clean; 1 findings of level error or warning; 2 the command line or a named file cannot be used; 3 an
error in Festoon itself. Colour is used on a terminal only, and never when NO_COLOR is set.
`,
  options: {
    format: { type: 'string' },
    quiet: { type: 'boolean' },
    checks: { type: 'boolean' },
    root: { type: 'string' },
  },
  run: runCheck,
};

function runCheck(args: CommandArguments, io: Io): Exit {
  const output = choiceOf(args, 'format', ['text', 'json', 'sarif', 'github', 'junit'], 'text');
  const { workspace, plans, unread } = openPlans(args, io, filesOf(args));
  const checked = plans.map(
    (plan): CheckedPlan => ({
      name: plan.name,
      nameOf: (uri) => workspace.nameOf(plan, uri),
      findings: placedFindings(plan.analysis),
      accepted: placedAccepted(plan.analysis),
      coverage: args.values['checks'] === true ? coverageOf(plan.analysis) : undefined,
      report: reportOf(plan.analysis),
    }),
  );
  if (output === 'json') io.out(renderJson(checkJson(checked, unread)));
  else if (output === 'sarif') io.out(renderJson(checkSarif(checked, unread)));
  else if (output === 'github') io.out(checkAnnotations(checked, unread));
  else if (output === 'junit') io.out(checkJunit(checked, unread));
  else io.out(renderPage(textPage(checked, unread, args.values['quiet'] === true, io.columns ?? WIDTH), io.colour));
  return exitOf(checked, unread);
}

/** Where the output is no terminal. */
const WIDTH = 100;

function textPage(
  checked: readonly CheckedPlan[],
  unread: readonly UnreadFile[],
  quiet: boolean,
  width: number,
): Line[] {
  const lines = unread.map(({ name, reason }): Line => [styled(name, 'strong'), ` ${reason}.`]);
  if (lines.length > 0) lines.push([]);
  for (const { name, nameOf, findings, accepted, coverage, report } of checked) {
    lines.push(...renderFindings(findings, nameOf, width));
    lines.push(...renderAccepted(accepted, nameOf, width));
    if (coverage !== undefined) lines.push(...renderCoverage(coverage, width));
    if (!quiet) lines.push(...renderAccount(report, name, width));
    lines.push([styled(`${name}: `, 'strong'), ...renderCounts(countLevels(findings))], []);
  }
  if (checked.length > 0 && !quiet) lines.push(...cautions(width));
  while (lines.at(-1)?.length === 0) lines.pop();
  return lines;
}

function exitOf(checked: readonly CheckedPlan[], unread: readonly UnreadFile[]): Exit {
  if (unread.length > 0) return EXIT.usage;
  const isFound = checked.some(({ findings }) => findings.some(({ level }) => level !== 'information'));
  return isFound ? EXIT.findings : EXIT.clean;
}
