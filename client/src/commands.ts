/** The commands of the extension. */
import {
  commands,
  type Disposable,
  Location,
  type LogOutputChannel,
  languages,
  Position,
  Range,
  tasks,
  Uri,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { showNetlist, showPapers } from './contents.ts';
import { explain } from './explanations.ts';
import { newPlan } from './new-plan.ts';
import { writePapers } from './write-papers.ts';

/** Commands that the server may put behind lenses. */
export const serverCommands = ['festoon.showPlaces'];

export function registerCommands(client: BaseLanguageClient, output: LogOutputChannel): Disposable[] {
  return [
    commands.registerCommand('festoon.restartServer', () => restart(client)),
    commands.registerCommand('festoon.newPlan', newPlan),
    commands.registerCommand('festoon.writePapers', (folder: unknown) => writePapers(client, folder)),
    commands.registerCommand('festoon.explain', (code: unknown) => explain(code, foundCodes())),
    commands.registerCommand('festoon.showPlaces', showPlaces),
    commands.registerCommand('festoon.showPapers', showPapers),
    commands.registerCommand('festoon.showNetlist', showNetlist),
    commands.registerCommand('festoon.fixAll', fixAll),
    commands.registerCommand('festoon.check', check),
    commands.registerCommand('festoon.showOutput', () => output.show()),
  ];
}

async function restart(client: BaseLanguageClient): Promise<void> {
  await client.stop();
  await client.start();
}

/** The editor's own way to apply what the server calls `source.fixAll.festoon`. */
function fixAll(): Thenable<unknown> {
  return commands.executeCommand('editor.action.codeAction', { kind: 'source.fixAll.festoon', apply: 'first' });
}

/** Runs the task of the open plan; in a browser without a machine there is none. */
async function check(): Promise<void> {
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
