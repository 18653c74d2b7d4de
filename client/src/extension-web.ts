/** The extension in a browser without a machine behind it: the server is a worker. */
import { type ExtensionContext, Uri } from 'vscode';
import { LanguageClient } from 'vscode-languageclient/browser';
import { startClient, stopClient } from './start-client.ts';

/** A worker of the browser; the types that Node programs are checked with do not know it. */
declare const Worker: new (address: string) => never;

export async function activate(context: ExtensionContext): Promise<void> {
  const address = Uri.joinPath(context.extensionUri, 'dist', 'web', 'server.js').toString(true);
  await startClient(
    context,
    (options) => new LanguageClient('festoon', 'Festoon', async () => new Worker(address), options),
  );
}

export const deactivate = stopClient;
