import {
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  type DidChangeWatchedFilesParams,
  FileChangeType,
  type InitializeParams,
} from 'vscode-languageserver';
import { capabilitiesFor } from './capabilities.ts';
import { type ClientTraits, traitsOf } from './client-traits.ts';
import type { ServerContext } from './context.ts';
import { Documents } from './documents.ts';
import { type Disk, Files } from './files.ts';
import { followDocuments } from './follow-documents.ts';
import { Guard } from './guard.ts';
import { handleActions } from './handle-actions.ts';
import { handleCommands } from './handle-commands.ts';
import { handleContents } from './handle-contents.ts';
import { handleDiagnostics } from './handle-diagnostics.ts';
import { handleDocuments } from './handle-documents.ts';
import { handleDrawings } from './handle-drawings.ts';
import { handleFiles } from './handle-files.ts';
import { handleLanguage } from './handle-language.ts';
import { handleNames } from './handle-names.ts';
import { handlePower } from './handle-power.ts';
import { handlePowerTree } from './handle-power-tree.ts';
import { handleReport } from './handle-report.ts';
import { handleReview } from './handle-review.ts';
import { handleTests } from './handle-tests.ts';
import { handleViews } from './handle-views.ts';
import { type Late, lateJson } from './late.ts';
import { Plans } from './plans.ts';
import { tellUnasked } from './progress.ts';
import { PushDiagnostics } from './push-diagnostics.ts';
import { Refresh } from './refresh.ts';
import { Settings } from './settings.ts';
import { Translator } from './translator.ts';
import { keyOf } from './uri.ts';

/** What differs with the program that a server runs in. */
export interface Runtime {
  readonly late: Late;
  /** Told of all characters of the open documents, whenever one is opened, changed or closed. */
  readonly textChanged: (length: number) => void;
}

const PLAIN: Runtime = { late: lateJson, textChanged: () => undefined };

/**
 * The language server on a connection of any kind. `disk` is read where the client hands no files over; `page` is the
 * address of the page that explains the codes of findings, where there is one; `runtime` is
 * what the program that it runs in does for it.
 */
export function startServer(connection: Connection, disk: Disk | undefined, page?: string, runtime = PLAIN): void {
  const guard = new Guard(connection);
  const documents = new Documents(runtime.textChanged);
  let changed = () => {};
  const plans = new Plans(documents, new Files(connection, disk), () => changed());
  connection.onInitialize((params) => {
    const traits = traitsOf(params);
    documents.encoding = traits.encoding;
    plans.setFolders(foldersOf(params));
    const ctx = {
      connection,
      documents,
      plans,
      guard,
      to: new Translator(traits, documents, page),
      late: runtime.late,
    };
    changed = serve(ctx, traits);
    connection.onInitialized(() => {
      register(connection, traits);
      if (traits.hasFolders) followFolders(ctx, foldersOf(params), () => changed());
      readFolders(ctx);
    });
    return { capabilities: capabilitiesFor(traits), serverInfo: { name: 'festoon' } };
  });
  connection.onDidChangeWatchedFiles(
    guard.notification('workspace/didChangeWatchedFiles', ({ changes }: DidChangeWatchedFilesParams) => {
      for (const { uri, type } of changes) plans.changedOnDisk(keyOf(uri), type !== FileChangeType.Deleted);
    }),
  );
  connection.listen();
}

/** Installs all handlers; gives what is to be called when something has changed that the client cannot know of. */
function serve(ctx: ServerContext, traits: ClientTraits): () => void {
  const { connection, guard } = ctx;
  const refresh = new Refresh(connection, traits);
  const settings = new Settings(connection, traits.hasConfiguration);
  handleLanguage(ctx);
  handleDocuments(ctx);
  handleActions(ctx);
  handleCommands(ctx);
  handleDrawings(ctx);
  handleReport(ctx);
  handleReview(ctx);
  handleTests(ctx);
  handleNames(ctx);
  handleViews(ctx, settings);
  handlePower(ctx, settings);
  handlePowerTree(ctx);
  handleFiles(ctx);
  connection.onDidChangeConfiguration(() => {
    settings.forget();
    refresh.schedule();
  });
  let push: PushDiagnostics | undefined;
  if (traits.pullsDiagnostics) handleDiagnostics(ctx);
  else push = new PushDiagnostics(ctx, (error, key) => guard.log(error, `the analysis of ${key}`));
  const contents = handleContents(ctx);
  followDocuments(ctx, push, contents);
  return () => {
    contents();
    push?.schedule();
    refresh.schedule();
  };
}

function register({ client }: Connection, traits: ClientTraits): void {
  // A client that refuses is served as well as it can be without.
  const ask = (registered: Promise<unknown>) => void registered.catch(() => undefined);
  if (traits.registersWatchers) {
    ask(client.register(DidChangeWatchedFilesNotification.type, { watchers: [{ globPattern: '**/*.festoon' }] }));
  }
  if (traits.registersConfiguration)
    ask(client.register(DidChangeConfigurationNotification.type, { section: 'festoon' }));
}

/** Answers that may depend on any file wait for it: where that takes long, a person should see why. */
function readFolders({ connection, plans }: ServerContext): void {
  plans.list(tellUnasked(connection, { title: 'Festoon: reading plans', cancellable: false }));
}

function followFolders(ctx: ServerContext, first: readonly string[], changed: () => void): void {
  const { connection, plans } = ctx;
  let folders = first;
  connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) => {
    const gone = new Set(removed.map(({ uri }) => uri));
    folders = [...folders.filter((uri) => !gone.has(uri)), ...added.map(({ uri }) => uri)];
    plans.setFolders(folders);
    readFolders(ctx);
    changed();
  });
}

function foldersOf({ workspaceFolders, rootUri }: InitializeParams): string[] {
  if (workspaceFolders !== undefined && workspaceFolders !== null) return workspaceFolders.map(({ uri }) => uri);
  return typeof rootUri === 'string' ? [rootUri] : [];
}
