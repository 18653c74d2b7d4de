import type { Analysis } from '../../analysis/analysis.ts';
import { HostBench } from '../../analysis/host-bench.ts';
import { unlookedIn } from '../../analysis/unlooked.ts';
import { type DisplayPlan, planDisplay } from '../../planning/plan-display.ts';
import { type Command, type CommandArguments, oneFileOf } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { renderJson } from '../json.ts';
import { openToWrite } from '../open-plans.ts';
import { renderPage } from '../page.ts';
import { type ChangedFile, planJson, planPage } from '../plan-account.ts';
import { troubleOf } from '../plan-text.ts';
import { printable } from '../printable.ts';
import { Progress } from '../progress.ts';
import type { OpenPlan, Workspace } from '../workspace.ts';

export const plan: Command = {
  name: 'plan',
  summary: 'Proposes where to inject power, for the display as a whole',
  help: `
festoon plan [OPTIONS] FILE

Looks for the feeds that leave every run with the voltage it needs and nothing overloaded: first as few cables through
limited routes as can be, then as few taps, then as little copper, or money where every cable at hand has a price. What
stands in the plan stays; a run or string marked "no-tap" gets no feed. Feeds start at free outputs of supplies and fused
boards; a new output is only added where none is free. Where feeds would take a limited route, one trunk to a fused board
at the place of the runs may take fewer cables; the board counts as a tap. Where some run would stay wanting all the same,
V+ is cut so that two supplies share it, or another supply is proposed: that needs mains at its place, which is for a
licensed electrician and local codes. Every proposal is checked on the plan as a whole, with all tolerances. Prints the
lines to add, an account of before and after, what stays wrong, and how far the answer may be from the best one.

  --write     Puts the lines into the plan's files.
  --json      Prints the account for programs.
  --root DIR  The folder that "use" lines may not leave.

Exit codes: 0 nothing is wanting, or no more with what is proposed; 1 some run stays wanting, or could not be
looked at; 2 the command line or the
file cannot be used; 3 an error in Festoon itself.
`,
  options: { write: { type: 'boolean' }, json: { type: 'boolean' }, root: { type: 'string' } },
  run: runPlan,
};

function runPlan(args: CommandArguments, io: Io): Exit {
  const opened = openToWrite(args, io, oneFileOf(args));
  if (opened === undefined) return EXIT.usage;
  const { workspace, plan: open } = opened;
  const before = open.analysis;
  const progress = new Progress(io);
  const proposed = planDisplay(new HostBench(open.host, before, () => progress.step()));
  progress.end();
  const after = proposed.bench instanceof HostBench ? proposed.bench.analysis : before;
  const files = changedFiles(workspace, open, before, after);
  const account = { before, after, proposed, files };
  if (args.values['json'] === true) io.out(renderJson(planJson(account)));
  else io.out(renderPage(planPage(account, io.columns ?? 100), io.colour));
  if (args.values['write'] === true && !writeFiles(workspace, io, files)) return EXIT.usage;
  return stillWanting(proposed) || unlookedIn(after).length > 0 ? EXIT.findings : EXIT.clean;
}

function stillWanting({ open }: DisplayPlan): boolean {
  return open.length > 0;
}

function changedFiles(workspace: Workspace, open: OpenPlan, before: Analysis, after: Analysis): ChangedFile[] {
  return after.files.flatMap((file) => {
    const old = before.files.find(({ uri }) => uri === file.uri);
    if (old === undefined || old.text === file.text) return [];
    return [{ uri: file.uri, name: workspace.nameOf(open, file.uri), before: old.text, after: file.text }];
  });
}

function writeFiles(workspace: Workspace, io: Io, files: readonly ChangedFile[]): boolean {
  for (const { uri, name, after } of files) {
    try {
      workspace.write(uri, after);
    } catch (error) {
      io.err(`${printable(name)} ${troubleOf(error).reason.replace('be read', 'be written')}.\n`);
      return false;
    }
  }
  return true;
}
