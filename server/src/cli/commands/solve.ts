import { CHECK_BY_CODE } from '../../checks/registry.ts';
import { count } from '../../model/texts.ts';
import { circuitTable, extensionTable, feedTable, runTable, supplyTable } from '../account-tables.ts';
import { type Command, type CommandArguments, choiceOf, oneFileOf } from '../command.ts';
import { costLines } from '../cost-lines.ts';
import { type PlacedFinding, placedFindings } from '../findings.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { renderJson } from '../json.ts';
import { mastLines } from '../mast-lines.ts';
import { openPlan } from '../open-plans.ts';
import { type Line, renderPage } from '../page.ts';
import { printable } from '../printable.ts';
import { type Report, reportOf } from '../report.ts';
import { seasonLines } from '../season-lines.ts';
import { solveJson } from '../solve-json.ts';
import type { OpenPlan } from '../workspace.ts';

export const solve: Command = {
  name: 'solve',
  summary: 'Prints the computed volts and amps, of every pixel if you like',
  help: `
festoon solve [OPTIONS] FILE

Computes the volts and amps of a plan. As JSON: every pixel of every run, with the least voltage and its pixel; every
supply, output, feed, cable and mains circuit with its amps, drop and share of its limit; and how well the equations
are met. All in SI units. The schema is server/src/cli/schema/solve.schema.json.

  --format text|json  A short table (the default) or everything
  --root DIR          The folder that "use" lines may not leave. Without it: the nearest folder above the plan that
                      holds .git, else the plan's own folder.

Exit codes: 0 all was computed; 1 something is left out, since a line cannot be read or no voltages were found (see
festoon check); 2 the command line or the file cannot be used; 3 an error in Festoon itself.
`,
  options: { format: { type: 'string' }, root: { type: 'string' } },
  run: runSolve,
};

function runSolve(args: CommandArguments, io: Io): Exit {
  const format = choiceOf(args, 'format', ['text', 'json'], 'text');
  const opened = openPlan(args, io, oneFileOf(args));
  if (opened === undefined) return EXIT.usage;
  const { analysis } = opened;
  const report = reportOf(analysis);
  if (format === 'json') io.out(renderJson(solveJson(opened.name, report, analysis.account)));
  else io.out(renderPage(solvePage(opened, report, io.columns ?? 100), io.colour));
  return tellLosses(opened, io) ? EXIT.findings : EXIT.clean;
}

function solvePage({ analysis }: OpenPlan, report: Report, width: number): Line[] {
  const tables = [
    supplyTable(report, width),
    runTable(report, width),
    feedTable(report, width),
    circuitTable(report, width),
    extensionTable(report, width),
    seasonLines(report),
    costLines(report),
    mastLines(report, width),
  ];
  const lines = tables.filter((rows) => rows.length > 0).flatMap((rows): Line[] => [...rows, []]);
  let currentResidual = 0;
  let powerResidual = 0;
  let solved = 0;
  for (const { outcome } of analysis.account.islands) {
    if (outcome.status !== 'solved') continue;
    solved++;
    currentResidual = Math.max(currentResidual, outcome.currentResidual);
    powerResidual = Math.max(powerResidual, outcome.powerResidual);
  }
  if (solved > 0) {
    lines.push([
      `${count(solved, 'circuit')} solved. Currents balance to ${share(currentResidual)} and power to ${share(powerResidual)} of the whole.`,
    ]);
  }
  return lines;
}

/** A residual as a power of ten. */
function share(residual: number): string {
  return residual === 0 ? 'nothing' : residual.toExponential(0);
}

/** Tells on standard error that figures are incomplete, since findings are not part of the output. */
export function tellLosses(plan: OpenPlan, io: Io): boolean {
  const losses = placedFindings(plan.analysis).filter(losesSomething).length;
  if (losses === 0) return false;
  io.err(
    `festoon: ${printable(plan.name)} has ${count(losses, 'finding')} that may leave something out of these figures. See: festoon check\n`,
  );
  return true;
}

/** Lines that could not be read as they were meant, and circuits without an answer. */
function losesSomething({ finding, level }: PlacedFinding): boolean {
  return level === 'error' && (finding.code === 'unsolved' || CHECK_BY_CODE.get(finding.code)?.run === undefined);
}
