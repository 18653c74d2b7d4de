/** What the extension does wherever it runs: starts the language server and shows how it is. */
import {
  type ExtensionContext,
  type LanguageStatusItem,
  LanguageStatusSeverity,
  l10n,
  languages,
  window,
} from 'vscode';
import {
  type BaseLanguageClient,
  type LanguageClientOptions,
  RevealOutputChannelOn,
  State,
} from 'vscode-languageclient';
import { registerCommands, serverCommands } from './commands.ts';
import { answerCommittedFiles } from './committed-files.ts';
import { drawings } from './drawing-panel.ts';
import { explainScheme, provideExplanations } from './explanations.ts';
import { answerFileRequests } from './file-requests.ts';
import { earlierVersions } from './open-plan.ts';
import { powerView } from './power-view.ts';
import { testView } from './test-view.ts';

let client: BaseLanguageClient | undefined;

export async function startClient<C extends BaseLanguageClient>(
  context: ExtensionContext,
  create: (options: LanguageClientOptions) => C,
  endOf: (client: C) => () => Promise<void>,
): Promise<void> {
  const output = window.createOutputChannel('Festoon', { log: true });
  const status = createStatus(context);
  const started = create({
    documentSelector: [{ language: 'festoon' }],
    synchronize: { configurationSection: 'festoon' },
    initializationOptions: { commands: serverCommands, explains: explainScheme, leavesOut: earlierVersions },
    outputChannel: output,
    revealOutputChannelOn: RevealOutputChannelOn.Never,
    // Names and labels in hovers come from files: they never run a command and never carry HTML.
    markdown: { isTrusted: false, supportHtml: false },
  });
  client = started;
  started.onDidChangeState(({ newState }) => showState(status, newState));
  context.subscriptions.push(
    output,
    status,
    answerFileRequests(started),
    answerCommittedFiles(started),
    ...drawings(context, started),
    provideExplanations(started),
    ...registerCommands({ client: started, endOf: () => endOf(started) }, output),
    ...testView(started),
    powerView(started),
  );
  showState(status, State.Starting);
  await started.start();
}

export async function stopClient(): Promise<void> {
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
    ? l10n.t('language server stopped')
    : state === State.Running
      ? l10n.t('language server running')
      : l10n.t('starting');
  status.command = stopped
    ? { title: l10n.t('Restart'), command: 'festoon.restartServer' }
    : { title: l10n.t('Explain a code'), command: 'festoon.explain' };
}
