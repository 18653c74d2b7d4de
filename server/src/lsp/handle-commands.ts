import { ErrorCodes, type ExecuteCommandParams, ResponseError } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { svgFile } from '../drawing/svg.ts';
import type { Run } from '../model/plan.ts';
import { SolutionCache } from '../model/solution-cache.ts';
import { papersOf } from '../papers/papers.ts';
import type { ClientTraits } from './client-traits.ts';
import type { Command, CommandArgument } from './command.ts';
import type { ServerContext } from './context.ts';
import { drawingOf } from './handle-drawings.ts';
import { paperMarkdown } from './paper-markdown.ts';
import { planInjection } from './plan-injection.ts';
import { keyOf } from './uri.ts';

export const PLAN_COMMAND = 'festoon.plan';

/**
 * Commands of the server, for editors that have none of their own. None of them bears the name of a command of our
 * extension, which registers them all; none writes a file or reads one outside the workspace.
 */
const COMMANDS: Readonly<Record<string, Command>> = {
  [PLAN_COMMAND]: planInjection,
  'festoon.papers': (_, analysis) => paperMarkdown(papersOf(analysis, false)),
  'festoon.drawing': (_, analysis, { view = 'wiring', run }) => {
    const drawn = view === 'run' ? runOf(analysis, run) : undefined;
    return svgFile(drawingOf(analysis, view, drawn, DRAWING_WIDTH, new SolutionCache()));
  },
};

/** Pixels: what a page of paper has room for. */
const DRAWING_WIDTH = 1000;

/** Those that work with this client: a plan can only be put where the client makes edits. */
export function commandsFor({ appliesEdits }: Pick<ClientTraits, 'appliesEdits'>): string[] {
  return Object.keys(COMMANDS).filter((command) => appliesEdits || command !== PLAN_COMMAND);
}

export function handleCommands(ctx: ServerContext): void {
  const { connection, guard, plans, to } = ctx;
  connection.onRequest(
    'workspace/executeCommand',
    guard.request<ExecuteCommandParams, unknown>('workspace/executeCommand', null, async (params, token) => {
      const { command, workDoneToken } = params;
      const given: readonly unknown[] = params.arguments ?? [];
      const run = commandsFor(to.traits).includes(command) ? COMMANDS[command] : undefined;
      if (run === undefined) throw refused(`there is no command "${command}"`);
      const asked = given[0] ?? {};
      if (given.length > 1 || typeof asked !== 'object')
        throw refused(`${command} takes { uri, view, run } as its only argument, each of which may be left out`);
      assertArgument(command, asked);
      const key = await keyFor(ctx, asked);
      const analysis = await plans.analysisFor(key);
      if (analysis.files.length === 0) throw refused(`there is no plan ${to.address(key)}`);
      const isCurrent = async () => (await plans.analysisFor(key)) === analysis;
      return run(ctx, analysis, asked, { token, workDoneToken, isCurrent });
    }),
  );
}

/** Nothing is read for a command but what a person has open or in the workspace. */
async function keyFor({ documents, plans }: ServerContext, { uri }: CommandArgument): Promise<string> {
  await plans.listed();
  const [last] = documents.all().sort((a, b) => b.touched - a.touched);
  const key = uri === undefined ? last?.key : keyOf(uri);
  if (key === undefined) throw refused('no plan is open');
  if (!plans.knownFiles().has(key)) throw refused(`there is no plan ${uri} in the workspace`);
  return key;
}

/** The first where no name is given. Anything else than the one that is named would be taken for it. */
function runOf({ plan: { runs } }: Analysis, name: string | undefined): Run {
  const found = name === undefined ? runs.values().next().value : runs.get(name);
  if (found === undefined) throw refused(name === undefined ? 'the plan has no run' : `the plan has no run "${name}"`);
  return found;
}

const refused = (message: string) => new ResponseError(ErrorCodes.InvalidParams, message);

const VIEWS: readonly unknown[] = ['wiring', 'run', 'site'] satisfies CommandArgument['view'][];
const isText = (part: unknown) => typeof part === 'string';

/** What each part of an argument is, and what is meant where it is left out. */
const PARTS = [
  ['uri', isText, 'the address of a file, as text', 'the plan that was worked on last'],
  ['view', (part) => VIEWS.includes(part), '"wiring", "run" or "site"', 'the wiring'],
  ['run', isText, 'the name of a run, as text', 'the first run'],
] as const satisfies [keyof CommandArgument, (part: unknown) => boolean, string, string][];

function assertArgument(command: string, value: object): asserts value is CommandArgument {
  const given: Partial<Record<string, unknown>> = { ...value };
  for (const [key, fits, what, meant] of PARTS) {
    if (given[key] === undefined || fits(given[key])) continue;
    throw refused(`"${key}" of ${command} is to be ${what}; leave it out for ${meant}`);
  }
}
