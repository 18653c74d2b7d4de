/** The extension in a browser without a machine behind it: the server is a worker. */
import { type ExtensionContext, Uri, workspace } from 'vscode';
import {
  BrowserMessageReader,
  BrowserMessageWriter,
  LanguageClient,
  type MessageTransports,
} from 'vscode-languageclient/browser';
import { startClient, stopClient } from './start-client.ts';

/** A worker of the browser; the types that Node programs are checked with do not know it. */
interface Worker {
  readonly terminate: () => void;
}

declare const Worker: new (address: string) => Worker & ConstructorParameters<typeof BrowserMessageReader>[0];

export async function activate(context: ExtensionContext): Promise<void> {
  const script = Uri.joinPath(context.extensionUri, 'dist', 'web', 'server.js');
  let worker: Worker | undefined;
  // Asked for at each start; what an earlier worker knew is gone. The ways in and out are given and not the worker itself:
  // the editor has put a class of its own in the place of Worker, so the client would not know it for one.
  const connect = async (): Promise<MessageTransports> => {
    worker?.terminate();
    const started = new Worker(await addressOf(script));
    worker = started;
    return { reader: new BrowserMessageReader(started), writer: new BrowserMessageWriter(started) };
  };
  context.subscriptions.push({ dispose: () => worker?.terminate() });
  const end = async () => worker?.terminate();
  await startClient(
    context,
    (options) => new LanguageClient('festoon', 'Festoon', connect, options),
    () => end,
  );
}

/** A browser starts a worker from the web; from anywhere else, such as the disk of a served editor, it needs the bytes. */
async function addressOf(script: Uri): Promise<string> {
  if (script.scheme === 'https' || script.scheme === 'http') return script.toString(true);
  const bytes = await workspace.fs.readFile(script);
  return URL.createObjectURL(new Blob([bytes.slice()], { type: 'text/javascript' }));
}

export const deactivate = stopClient;
