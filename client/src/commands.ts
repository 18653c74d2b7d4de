/** The commands of the extension. */
import {
  CancellationError,
  commands,
  type Disposable,
  Location,
  type LogOutputChannel,
  l10n,
  languages,
  Position,
  Range,
  tasks,
  Uri,
  window,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { showNetlist, showPapers } from './contents.ts';
import { explain } from './explanations.ts';
import { newPlan } from './new-plan.ts';
import { openPlan } from './open-plan.ts';
import { writePapers } from './write-papers.ts';

/** The server, and how it is ended where it does not end when it is asked to. */
export interface RunningServer {
  readonly client: BaseLanguageClient;
  /** Takes note of what runs now; what it gives ends that, and waits until it is gone. */
  readonly endOf: () => () => Promise<void>;
}

/** Commands that the server may put behind lenses. */
export const serverCommands = ['festoon.showPlaces'];

export function registerCommands(server: RunningServer, output: LogOutputChannel): Disposable[] {
  const { client } = server;
  return [
    commands.registerCommand('festoon.restartServer', () => restart(server, output)),
    commands.registerCommand('festoon.newPlan', newPlan),
    commands.registerCommand('festoon.writePapers', (folder: unknown) => writePapers(client, folder)),
    commands.registerCommand('festoon.explain', (code: unknown) => explain(code, foundCodes())),
    commands.registerCommand('festoon.showPlaces', showPlaces),
    commands.registerCommand('festoon.showPapers', showPapers),
    commands.registerCommand('festoon.showNetlist', showNetlist),
    commands.registerCommand('festoon.planInjection', planInjection),
    commands.registerCommand('festoon.fixAll', fixAll),
    commands.registerCommand('festoon.check', check),
    commands.registerCommand('festoon.showOutput', () => output.show()),
  ];
}

/** A server that hangs, or that never came up, cannot be ended in good order; then most of all a new one is wanted. */
async function restart({ client, endOf }: RunningServer, output: LogOutputChannel): Promise<void> {
  const end = endOf();
  try {
    await client.stop();
  } catch (error) {
    output.warn(error instanceof Error ? error.message : String(error));
    await end();
  }
  await client.start();
}

/** A command of the server, which the language client has made one of the editor's. */
async function planInjection(): Promise<void> {
  const plan = openPlan();
  if (plan === undefined) return;
  try {
    await commands.executeCommand('festoon.plan', { uri: plan.uri.toString() });
  } catch (error) {
    // Whoever cancels it knows.
    if (!(error instanceof CancellationError)) throw error;
  }
}

/** The editor's own way to apply what the server calls `source.fixAll.festoon`. */
function fixAll(): Thenable<unknown> {
  return commands.executeCommand('editor.action.codeAction', { kind: 'source.fixAll.festoon', apply: 'first' });
}

/** Runs the task of the open plan; in a browser without a machine there is none. */
async function check(): Promise<void> {
  const plan = openPlan();
  if (plan === undefined) return;
  if (plan.uri.scheme !== 'file') {
    void window.showInformationMessage(
      l10n.t('The task checks a plan that is saved on the disk. Save this one first.'),
    );
    return;
  }
  const all = await tasks.fetchTasks({ type: 'festoon' });
  // A folder may have tasks of its own for other plans.
  const task = all.find(({ definition }) => definition['file'] === undefined);
  if (task !== undefined) await tasks.executeTask(task);
}

interface Point {
  readonly line: number;
  readonly character: number;
}

interface Place {
  readonly uri: string;
  readonly range: { readonly start: Point; readonly end: Point };
}

/** Shows places that a lens leads to; the server writes them as the protocol does. */
function showPlaces(uri: string, from: Point, places: readonly Place[]): Thenable<unknown> {
  const point = ({ line, character }: Point) => new Position(line, character);
  const found = places.map(
    (place) => new Location(Uri.parse(place.uri), new Range(point(place.range.start), point(place.range.end))),
  );
  return commands.executeCommand('editor.action.showReferences', Uri.parse(uri), point(from), found);
}

function foundCodes(): string[] {
  const codes = new Set<string>();
  for (const [, diagnostics] of languages.getDiagnostics())
    for (const { source, code } of diagnostics) {
      const value = typeof code === 'object' ? code.value : code;
      if (source === 'festoon' && typeof value === 'string') codes.add(value);
    }
  return [...codes].sort();
}
