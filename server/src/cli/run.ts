import { parseArgs } from 'node:util';
import { VERSION } from '../model/version.ts';
import { type Command, type CommandArguments, UsageError } from './command.ts';
import { check } from './commands/check.ts';
import { diagnose } from './commands/diagnose.ts';
import { diff } from './commands/diff.ts';
import { explain } from './commands/explain.ts';
import { faults } from './commands/faults.ts';
import { format } from './commands/format.ts';
import { light } from './commands/light.ts';
import { netlist } from './commands/netlist.ts';
import { plan } from './commands/plan.ts';
import { report } from './commands/report.ts';
import { solve } from './commands/solve.ts';
import { test } from './commands/test.ts';
import { EXIT, type Exit, type Io } from './io.ts';
import { printable } from './printable.ts';

const COMMANDS: readonly Command[] = [
  check,
  test,
  solve,
  plan,
  diff,
  report,
  netlist,
  faults,
  diagnose,
  light,
  format,
  explain,
];

/** Runs one command line. Never throws: what Festoon did not foresee is told on standard error, with exit code 3. */
export function run(args: readonly string[], io: Io): Exit {
  try {
    return dispatch(args, io);
  } catch (error) {
    if (error instanceof UsageError) {
      io.err(`festoon: ${printable(error.message)}\n`);
      return EXIT.usage;
    }
    const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
    io.err('festoon: an error in Festoon itself. Please report it, with the plan that shows it.\n');
    io.err(`${text.split('\n').map(printable).join('\n')}\n`);
    return EXIT.internal;
  }
}

function dispatch(args: readonly string[], io: Io): Exit {
  const [first, ...rest] = args;
  if (first === undefined) {
    io.err(overview());
    return EXIT.usage;
  }
  if (first === '--version' || first === '-V') {
    io.out(`festoon ${VERSION}\n`);
    return EXIT.clean;
  }
  if (first === '--help' || first === '-h' || first === 'help') return help(rest, io);
  const command = commandOf(first);
  if (rest.includes('--help') || rest.includes('-h')) return help([first], io);
  return command.run(argumentsOf(command, rest), io);
}

function commandOf(name: string): Command {
  const command = COMMANDS.find((each) => each.name === name);
  if (command === undefined) {
    const known = COMMANDS.map((each) => each.name).join(', ');
    throw new UsageError(`there is no command "${name}". There are: ${known}, help`);
  }
  return command;
}

function argumentsOf(command: Command, args: readonly string[]): CommandArguments {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      options: command.options,
      allowPositionals: true,
      strict: true,
    });
    return { values: values as CommandArguments['values'], names: positionals };
  } catch (error) {
    const [what = ''] = (error as Error).message.split('. ');
    throw new UsageError(`${what}. See: festoon help ${command.name}`);
  }
}

function help(args: readonly string[], io: Io): Exit {
  const [name] = args;
  io.out(name === undefined ? overview() : `${commandOf(name).help.trim()}\n`);
  return EXIT.clean;
}

function overview(): string {
  const width = Math.max(...COMMANDS.map((command) => command.name.length));
  const list = COMMANDS.map((command) => `  ${command.name.padEnd(width)}  ${command.summary}`);
  return `festoon COMMAND [OPTIONS] FILE…

Checks and computes plans of pixel light displays, written in *.festoon files.

${list.join('\n')}
  ${'help'.padEnd(width)}  Explains a command: festoon help check

  --version  Prints the version
  --help     Prints this text

Exit codes: 0 all is well; 1 the plan has findings; 2 the command line or a named file cannot be used; 3 an error in
Festoon itself.
`;
}
