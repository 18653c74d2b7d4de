import { cautions } from '../cautions.ts';
import { type Command, type CommandArguments, choiceOf, filesOf } from '../command.ts';
import { countLevels, type PlacedFinding, placedFindings } from '../findings.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { openPlans } from '../open-plans.ts';
import { type Line, renderPage, styled } from '../page.ts';
import { renderAccount } from '../render-account.ts';
import { renderCounts, renderFindings } from '../render-findings.ts';
import { reportOf } from '../report.ts';
import type { OpenPlan, UnreadFile, Workspace } from '../workspace.ts';

export const check: Command = {
  name: 'check',
  summary: 'Says what is wrong with a plan, and what it amounts to',
  help: `
festoon check [OPTIONS] FILE…

Checks plans. For each finding: its place, level and code, what is the matter, the line with the word underlined, and
the other places that take part. Then the account of the display: what every supply, output, run, feed, route and
mains circuit carries, and how much of its limit that is.

A file that another of the named files uses is checked as a part of that one.

  --format text|json  For people (the default) or for programs
  --quiet             Findings only, without the account
  --root DIR          The folder that "use" lines may not leave. Without it: the nearest folder above the plan that
                      holds .git, else the plan's own folder.

Exit codes: 0 clean; 1 findings of level error or warning; 2 the command line or a named file cannot be used; 3 an
error in Festoon itself. Colour is used on a terminal only, and never when NO_COLOR is set.
`,
  options: { format: { type: 'string' }, quiet: { type: 'boolean' }, root: { type: 'string' } },
  run: runCheck,
};

function runCheck(args: CommandArguments, io: Io): Exit {
  choiceOf(args, 'format', ['text'], 'text');
  const { workspace, plans, unread } = openPlans(args, io, filesOf(args));
  const checked = plans.map((plan) => ({ plan, findings: placedFindings(plan.analysis) }));
  const width = io.columns ?? WIDTH;
  const lines: Line[] = unread.map(unreadLine);
  if (lines.length > 0) lines.push([]);
  for (const { plan, findings } of checked)
    lines.push(...planPage(workspace, plan, findings, args.values['quiet'] === true, width));
  if (plans.length > 0 && args.values['quiet'] !== true) lines.push(...cautions(width));
  io.out(renderPage(lines, io.colour));
  return exitOf(
    unread,
    checked.flatMap(({ findings }) => findings),
  );
}

/** Where the output is no terminal. */
const WIDTH = 100;

function unreadLine({ name, reason }: UnreadFile): Line {
  return [styled(name, 'strong'), ` ${reason}.`];
}

function planPage(
  workspace: Workspace,
  plan: OpenPlan,
  findings: readonly PlacedFinding[],
  quiet: boolean,
  width: number,
): Line[] {
  const counts = renderCounts(countLevels(findings));
  const found = renderFindings(findings, (uri) => workspace.nameOf(plan, uri), width);
  const verdict: Line = [styled(`${plan.name}: `, 'strong'), ...counts];
  if (quiet) return [...found, verdict];
  return [...found, ...renderAccount(reportOf(plan.analysis), plan.name, width), verdict, []];
}

function exitOf(unread: readonly UnreadFile[], findings: readonly PlacedFinding[]): Exit {
  if (unread.length > 0) return EXIT.usage;
  return findings.some(({ level }) => level !== 'information') ? EXIT.findings : EXIT.clean;
}
