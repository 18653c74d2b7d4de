/** The VS Code extension: starts the language server and shows how it is. */
import {
  commands,
  type ExtensionContext,
  type LanguageStatusItem,
  LanguageStatusSeverity,
  languages,
  window,
} from 'vscode';
import { RevealOutputChannelOn, State } from 'vscode-languageclient';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { answerFileRequests } from './file-requests.ts';

let client: LanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const output = window.createOutputChannel('Festoon', { log: true });
  const status = createStatus(context);
  const module = context.asAbsolutePath('dist/server.cjs');
  client = new LanguageClient(
    'festoon',
    'Festoon',
    { module, transport: TransportKind.ipc },
    {
      documentSelector: [{ language: 'festoon' }],
      synchronize: { configurationSection: 'festoon' },
      outputChannel: output,
      revealOutputChannelOn: RevealOutputChannelOn.Never,
      // Names and labels in hovers come from files: they never run a command and never carry HTML.
      markdown: { isTrusted: false, supportHtml: false },
      middleware: {
        handleWorkDoneProgress: (_token, progress) => showProgress(status, progress),
      },
    },
  );
  client.onDidChangeState(({ newState }) => showState(status, newState));
  context.subscriptions.push(
    output,
    status,
    answerFileRequests(client),
    commands.registerCommand('festoon.restartServer', () => client?.restart()),
  );
  showState(status, State.Starting);
  await client.start();
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}

function createStatus(context: ExtensionContext): LanguageStatusItem {
  const status = languages.createLanguageStatusItem('festoon.server', { language: 'festoon' });
  status.name = 'Festoon';
  status.text = `Festoon ${context.extension.packageJSON.version}`;
  return status;
}

function showState(status: LanguageStatusItem, state: State): void {
  status.busy = state === State.Starting;
  const stopped = state === State.Stopped || state === State.StartFailed;
  status.severity = stopped ? LanguageStatusSeverity.Error : LanguageStatusSeverity.Information;
  status.detail = stopped
    ? 'language server stopped'
    : state === State.Running
      ? 'language server running'
      : 'starting';
  status.command = stopped ? { title: 'Restart', command: 'festoon.restartServer' } : undefined;
}

/** Long work of the server shows as a busy mark on the status item, never as a notification. */
function showProgress(status: LanguageStatusItem, progress: { kind: string; title?: string; message?: string }): void {
  status.busy = progress.kind !== 'end';
  status.detail =
    progress.kind === 'end' ? 'language server running' : (progress.message ?? progress.title ?? 'working');
}
