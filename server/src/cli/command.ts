import type { ParseArgsConfig } from 'node:util';
import type { Exit, Io } from './io.ts';

/** One command of the command line. */
export interface Command {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /** The page of `festoon help COMMAND`. */
  readonly help: string;
  readonly options: NonNullable<ParseArgsConfig['options']>;
  readonly run: (args: CommandArguments, io: Io) => Exit;
}

export interface CommandArguments {
  readonly values: Readonly<Record<string, string | boolean | undefined>>;
  readonly names: readonly string[];
}

/** What is wrong with how a command was called; shown with a pointer to its help. */
export class UsageError extends Error {}

/** The value of an option that admits a few words. */
export function choiceOf<const C extends string>(
  args: CommandArguments,
  option: string,
  choices: readonly C[],
  standard: C,
): C {
  const value = args.values[option] ?? standard;
  const found = choices.find((choice) => choice === value);
  if (found === undefined) throw new UsageError(`--${option} is one of: ${choices.join(', ')}`);
  return found;
}

/** The files named on the command line, each once; at least one. */
export function filesOf(args: CommandArguments): readonly string[] {
  if (args.names.length === 0) throw new UsageError('name a plan to work on: a file that ends with .festoon');
  return [...new Set(args.names)];
}

/** The only file named on the command line. */
export function oneFileOf(args: CommandArguments): string {
  const [file, ...more] = filesOf(args);
  if (file === undefined || more.length > 0) throw new UsageError('name one plan at a time');
  return file;
}
