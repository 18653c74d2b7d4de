import type { Check } from '../../checks/check.ts';
import { CHECK_BY_CODE, CHECKS } from '../../checks/registry.ts';
import { closest } from '../../model/spelling.ts';
import { type Command, type CommandArguments, UsageError } from '../command.ts';
import { EXIT, type Exit, type Io } from '../io.ts';
import { type Line, renderPage, styled, wrap } from '../page.ts';
import { table } from '../table.ts';

export const explain: Command = {
  name: 'explain',
  summary: 'Explains a code: what it means, why it matters, what helps',
  help: `
festoon explain [CODE…]

Explains the codes of findings: what is looked for, why it matters, what helps, and where the limit comes from.
Without a code it lists all of them.
`,
  options: {},
  run: runExplain,
};

function runExplain(args: CommandArguments, io: Io): Exit {
  const width = io.columns ?? 100;
  const lines = args.names.length === 0 ? list(width) : args.names.flatMap((code) => explanation(checkOf(code), width));
  io.out(renderPage(lines, io.colour));
  return EXIT.clean;
}

function checkOf(code: string): Check {
  const check = CHECK_BY_CODE.get(code);
  if (check !== undefined) return check;
  const near = closest(code, CHECK_BY_CODE.keys());
  throw new UsageError(
    `there is no code "${code}". ${near === undefined ? 'festoon explain lists them.' : `Did you mean "${near}"?`}`,
  );
}

function list(width: number): Line[] {
  const rows = CHECKS.map(({ code, level, title }) => [code, styled(level, level), title]);
  return table([{ title: 'code' }, { title: 'level' }, { title: 'what is found', most: 80 }], rows, width);
}

function explanation({ code, level, title, explanation }: Check, width: number): Line[] {
  const paragraphs = explanation
    .split(/\n\s*\n/)
    .flatMap((text): Line[] => [
      [],
      ...wrap(text.replaceAll('\n', ' ').replaceAll('`', ''), width).map((line): Line => [line]),
    ]);
  return [[styled(code, 'strong'), '  ', styled(level, level)], [title], ...paragraphs, []];
}
