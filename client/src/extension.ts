/** The extension in an editor that runs Node: the server is a process of its own, reached by the editor's channel. */
import type { ExtensionContext } from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { startClient, stopClient } from './start-client.ts';
import { provideTasks } from './tasks.ts';

export async function activate(context: ExtensionContext): Promise<void> {
  const module = context.asAbsolutePath('dist/server.cjs');
  context.subscriptions.push(provideTasks(context));
  await startClient(
    context,
    (options) => new LanguageClient('festoon', 'Festoon', { module, transport: TransportKind.ipc }, options),
    endOf,
  );
}

/** What the end of a process sets off has to be over before another one is started, or it would befall that one. */
function endOf({ serverProcess }: LanguageClient): () => Promise<void> {
  return async () => {
    if (serverProcess === undefined || serverProcess.exitCode !== null || serverProcess.signalCode !== null) return;
    await new Promise<void>((resolve) => {
      serverProcess.once('close', () => resolve());
      serverProcess.kill('SIGKILL');
    });
  };
}

export const deactivate = stopClient;
