import { resolve } from 'node:path';
import { reportFiles } from '../../papers/report-files.ts';
import { type Command, type CommandArguments, oneFileOf, UsageError } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { openPlan } from '../open-plans.ts';
import { reasonNotWritten } from '../plan-text.ts';
import { printable } from '../printable.ts';

export const report: Command = {
  name: 'report',
  summary: 'Writes the papers for shop, bench and yard',
  help: `
festoon report [OPTIONS] FILE --out DIR

Writes the papers of a display into a folder: report.html with parts list, cut list, wiring box by box, order of work,
checks before power, voltages to expect and what goes dark when something fails; labels.html with two labels for each
cable; the drawings as SVG; and each table as CSV. The pages print on A4 and Letter, need nothing from elsewhere, and are the same bytes for
the same plan.

  --out DIR   The folder; it is made if it is not there. Files of the same names are replaced.
  --date DAY  Printed on the papers. Without it they bear no date.
  --root DIR  The folder that "use" lines may not leave.

Example: festoon report boathouse/plan.festoon --out papers --date 2026-11-25

Exit codes: 0 written; 1 written, but the plan has errors or warnings; 2 the command line, the file or the folder
cannot be used; 3 an error in Festoon itself.
`,
  options: { out: { type: 'string' }, date: { type: 'string' }, root: { type: 'string' } },
  run: runReport,
};

function runReport(args: CommandArguments, io: Io): Exit {
  const name = oneFileOf(args);
  const out = args.values['out'];
  if (typeof out !== 'string' || out === '') throw new UsageError('say where the papers go: --out DIR');
  const opened = openPlan(args, io, name);
  if (opened === undefined) return EXIT.usage;
  const date = args.values['date'];
  const { files, isFound } = reportFiles(opened.analysis, printable(name), typeof date === 'string' ? date : undefined);
  try {
    const folder = resolve(io.cwd, out);
    io.disk.makeFolder(folder);
    for (const [file, text] of files) io.disk.write(resolve(folder, file), text);
  } catch (error) {
    io.err(`festoon: ${printable(out)} ${reasonNotWritten(error)}.\n`);
    return EXIT.usage;
  }
  io.out(
    `Wrote ${files.size} files into ${printable(out)}: report.html, labels.html, two drawings and the tables as CSV.\n`,
  );
  if (isFound) io.out('The plan has findings: see the first sheet, or festoon check.\n');
  return isFound ? EXIT.findings : EXIT.clean;
}
