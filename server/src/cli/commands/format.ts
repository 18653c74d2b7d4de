import { resolve } from 'node:path';
import { formatText } from '#grammar/format.ts';
import { count } from '../../model/texts.ts';
import { type Command, type CommandArguments, filesOf } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { readPlanText, type Trouble, troubleOf } from '../plan-text.ts';
import { printable } from '../printable.ts';

export const format: Command = {
  name: 'format',
  summary: 'Sets plans in the one style',
  help: `
festoon format [--check] FILE…

Rewrites plans in the one style. It changes blanks and line ends only: every word and comment stays, and a declaration
that cannot be read stays as it is.

  --check  Changes nothing; names the files that would change, with exit code 1 if there are any

Exit codes: 0 done, or nothing to do; 1 with --check, some file would change; 2 the command line or a named file cannot
be used; 3 an error in Festoon itself.
`,
  options: { check: { type: 'boolean' } },
  run: runFormat,
};

function runFormat(args: CommandArguments, io: Io): Exit {
  const files = filesOf(args);
  const checkOnly = args.values['check'] === true;
  let changed = 0;
  let failed = 0;
  for (const name of files) {
    const outcome = formatFile(io, name, checkOnly);
    if (typeof outcome === 'object') {
      failed++;
      io.err(`${printable(name)} ${outcome.reason}.\n`);
    } else if (outcome === 'changed') {
      changed++;
      io.out(`${printable(name)}\n`);
    }
  }
  const said = checkOnly ? 'would change' : 'formatted';
  io.out(`${count(changed, 'file')} ${said}, ${files.length - changed - failed} in style already.\n`);
  if (failed > 0) return EXIT.usage;
  return checkOnly && changed > 0 ? EXIT.findings : EXIT.clean;
}

function formatFile(io: Io, name: string, checkOnly: boolean): 'changed' | 'same' | Trouble {
  const path = resolve(io.cwd, name);
  const read = readPlanText(io.disk, path);
  if ('trouble' in read) return read;
  const formatted = formatText(read.text);
  if (formatted === read.text) return 'same';
  if (checkOnly) return 'changed';
  try {
    io.disk.replace(path, formatted);
    return 'changed';
  } catch (error) {
    const { trouble, reason } = troubleOf(error);
    return { trouble, reason: reason.replace('be read', 'be written') };
  }
}
