import type { Account } from '../../model/account.ts';
import {
  blownAlready,
  type Fault,
  type FaultyThing,
  faultsOf,
  isInUse,
  matters,
  type PixelRange,
} from '../../model/faults.ts';
import { outputText } from '../../model/outputs.ts';
import { amps, rating, volts } from '../../model/texts.ts';
import { cautions } from '../cautions.ts';
import { type Command, type CommandArguments, oneFileOf } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { openPlan } from '../open-plans.ts';
import { type Line, type Piece, renderPage, styled } from '../page.ts';
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
  const rows = told.flatMap((fault) => {
    const { name, kind } = nameOf(fault.what);
    return effects(fault).map((effect, index) => (index === 0 ? [name, kind, effect] : ['', '', effect]));
  });
  const columns = [{ title: 'fails' }, {}, { title: 'then' }];
  const lines: Line[] = rows.length === 0 ? [['This plan has nothing that could fail.']] : table(columns, rows, width);
  io.out(renderPage([...already(account), ...lines, [], ...cautions(width)], io.colour));
  return EXIT.clean;
}

/** What blows with nothing failed comes first: the rest is reckoned as if those fuses held. */
function already(account: Account): Line[] {
  const lines = blownAlready(account).map(
    ({ output, amps: load, rated }): Line => [
      styled(
        `The ${rating(rated)} fuse of ${outputText(output)} carries ${amps(load)} and blows with nothing failed.`,
        'error',
      ),
    ],
  );
  return lines.length === 0 ? [] : [...lines, []];
}

function nameOf(what: FaultyThing): { name: string; kind: string } {
  switch (what.kind) {
    case 'fuse':
      return {
        name: outputText(what.output),
        kind: `${rating(what.output.fuse?.amps ?? 0)} fuse`,
      };
    case 'port-fuse':
      return { name: `${what.run.controller?.name ?? ''}.${what.run.port ?? ''}`, kind: 'port fuse' };
    case 'feed':
      return { name: what.feed.name, kind: 'feed' };
    case 'link':
      return { name: what.receiver.name, kind: 'link' };
    case 'supply':
      return { name: what.supply.name, kind: 'supply' };
  }
}

/** What follows, a line for the fuses that go too and a line for each run that is worse off. */
function effects(fault: Fault): Piece[] {
  const lines: Piece[] = [];
  const blown = fault.blown.map((output) => outputText(output));
  if (blown.length > 0) lines.push(`overloads and blows ${blown.join(', then ')}`);
  if (fault.unsolved) lines.push('no steady state is found');
  else if (fault.runs.length === 0) lines.push(styled('all pixels stay white', 'faint'));
  for (const { run, dark, low, leastVolts, noData } of fault.runs) {
    const parts = [
      dark.length === 0 ? '' : `dark ${rangesText(dark)}${noData ? ', no data comes to it' : ''}`,
      low.length === 0 ? '' : `low ${rangesText(low)}, down to ${volts(leastVolts)}`,
    ];
    lines.push(`${run.name}  ${parts.filter((part) => part !== '').join(', ')}`);
  }
  return lines;
}

function rangesText(ranges: readonly PixelRange[]): string {
  const shown = ranges.slice(0, 3).map(({ from, to }) => (from === to ? `[${from}]` : `[${from}]–[${to}]`));
  return shown.join(' ') + (ranges.length > 3 ? ' …' : '');
}
