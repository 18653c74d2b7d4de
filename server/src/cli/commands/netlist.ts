import { netlistOf } from '../../model/netlist.ts';
import { type Command, type CommandArguments, oneFileOf } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { openPlan } from '../open-plans.ts';
import { printable } from '../printable.ts';
import { tellLosses } from './solve.ts';

export const netlist: Command = {
  name: 'netlist',
  summary: 'Writes the circuit as a SPICE deck, to check the figures with a simulator',
  help: `
festoon netlist [OPTIONS] FILE

Writes the circuit of a plan as a SPICE deck for ngspice: every pixel with its law of current, every conductor, contact
and fuse, every supply with its limit. V+ of pixel 17 of the run "eaves" is the node n_eaves_17_p, its ground
n_eaves_17_g. The operating point of the deck should agree with festoon solve to a millionth.

  festoon netlist plan.festoon > plan.cir
  ngspice -b plan.cir

  --root DIR  The folder that "use" lines may not leave. Without it: the nearest folder above the plan that holds
              .git, else the plan's own folder.

Exit codes: as of festoon solve.
`,
  options: { root: { type: 'string' } },
  run: runNetlist,
};

function runNetlist(args: CommandArguments, io: Io): Exit {
  const opened = openPlan(args, io, oneFileOf(args));
  if (opened === undefined) return EXIT.usage;
  const { plan, account } = opened.analysis;
  io.out(
    netlistOf(plan, account)
      .lines.map((line) => `${printable(line)}\n`)
      .join(''),
  );
  return tellLosses(opened, io) ? EXIT.findings : EXIT.clean;
}
