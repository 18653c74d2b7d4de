import { type Fault, faultsOf, isInUse, matters } from '../../model/faults.ts';
import { alreadyTexts, effectsOf, FAULT_TITLES, thingText, UNSEEN } from '../../papers/fault-texts.ts';
import { cautions } from '../cautions.ts';
import { type Command, type CommandArguments, oneFileOf } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { openPlan } from '../open-plans.ts';
import { type Line, type Piece, renderPage, styled, wrap } from '../page.ts';
import { table } from '../table.ts';

export const faults: Command = {
  name: 'faults',
  summary: 'Tells what goes dark when a fuse, a feed or a supply fails',
  help: `
festoon faults [OPTIONS] FILE

Takes away each fuse, each port's fuse, each feed and each supply of a plan, one at a time, and tells which pixels go
dark, which fall below what they need for true white, and which other fuses then blow, onward until nothing changes.
A fuse is taken to blow when it would have to carry more than its rating.

  --root DIR  The folder that "use" lines may not leave.

Exit codes: 0 told; 2 the command line or the file cannot be used; 3 an error in Festoon itself.
`,
  options: { root: { type: 'string' } },
  run: runFaults,
};

function runFaults(args: CommandArguments, io: Io): Exit {
  const opened = openPlan(args, io, oneFileOf(args));
  if (opened === undefined) return EXIT.usage;
  const width = io.columns ?? 100;
  const { plan, account } = opened.analysis;
  const told = faultsOf(account).filter((fault) => matters(fault) || isInUse(plan, fault.what));
  const rows = told.flatMap((fault) =>
    effectLines(fault).map((line, index) => [index === 0 ? thingText(fault.what) : '', ...line]),
  );
  const columns = [{ title: FAULT_TITLES.thing }, {}, { title: 'then' }];
  const lines: Line[] = rows.length === 0 ? [['This plan has nothing that could fail.']] : table(columns, rows, width);
  const already = alreadyTexts(account).flatMap((text) =>
    wrap(text, width).map((line): Line => [styled(line, 'error')]),
  );
  const first: Line[] = already.length === 0 ? [] : [...already, []];
  io.out(renderPage([...first, ...lines, [], ...cautions(width)], io.colour));
  return EXIT.clean;
}

/** A line for each run that is worse off, with what happens to it before it. */
function effectLines(fault: Fault): Piece[][] {
  const effects = effectsOf(fault);
  const lines = (['dark', 'dim', 'blown'] as const).flatMap((kind) =>
    effects[kind].map((text, index) => [index === 0 ? FAULT_TITLES[kind] : '', text]),
  );
  return lines.length === 0 ? [['', styled(UNSEEN, 'faint')]] : lines;
}
