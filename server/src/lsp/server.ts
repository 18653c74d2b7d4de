import {
  type Connection,
  DidChangeWatchedFilesNotification,
  type DidChangeWatchedFilesParams,
  FileChangeType,
  type InitializeParams,
  type InitializeResult,
} from 'vscode-languageserver';
import { capabilitiesFor } from './capabilities.ts';
import { type ClientTraits, traitsOf } from './client-traits.ts';
import { Documents } from './documents.ts';
import { type Disk, Files } from './files.ts';
import { followDocuments } from './follow-documents.ts';
import { Guard } from './guard.ts';
import { handleDiagnostics } from './handle-diagnostics.ts';
import { handleDocuments } from './handle-documents.ts';
import { handleLanguage } from './handle-language.ts';
import { Plans } from './plans.ts';
import { PushDiagnostics } from './push-diagnostics.ts';
import { Refresh } from './refresh.ts';
import { Translator } from './translator.ts';
import { keyOf } from './uri.ts';

/** The language server on a connection of any kind. `disk` is read where the client hands no files over. */
export function startServer(connection: Connection, disk: Disk | undefined): void {
  const guard = new Guard(connection);
  const documents = new Documents();
  let changed = () => {};
  const plans = new Plans(documents, new Files(connection, disk), () => changed());
  let traits: ClientTraits | undefined;
  let folders: string[] = [];

  connection.onInitialize((params: InitializeParams): InitializeResult => {
    traits = traitsOf(params);
    documents.encoding = traits.encoding;
    folders = foldersOf(params);
    plans.setFolders(folders);
    const to = new Translator(traits, documents);
    const ctx = { connection, documents, plans, guard, to };
    handleLanguage(ctx);
    handleDocuments(ctx);
    if (traits.pullsDiagnostics) handleDiagnostics(ctx);
    const refresh = new Refresh(connection, traits);
    const push = traits.pullsDiagnostics
      ? undefined
      : new PushDiagnostics(ctx, (error, key) => guard.log(error, `the analysis of ${key}`));
    changed = () => {
      push?.schedule();
      refresh.schedule();
    };
    followDocuments(ctx, push);
    return { capabilities: capabilitiesFor(traits), serverInfo: { name: 'festoon' } };
  });

  connection.onInitialized(() => {
    if (traits?.registersWatchers) {
      const watchers = [{ globPattern: '**/*.festoon' }];
      void connection.client.register(DidChangeWatchedFilesNotification.type, { watchers });
    }
    if (traits?.hasFolders) {
      connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) => {
        const gone = new Set(removed.map(({ uri }) => uri));
        folders = [...folders.filter((uri) => !gone.has(uri)), ...added.map(({ uri }) => uri)];
        plans.setFolders(folders);
        plans.list();
        changed();
      });
    }
    plans.list();
  });

  connection.onDidChangeWatchedFiles(
    guard.notification('workspace/didChangeWatchedFiles', ({ changes }: DidChangeWatchedFilesParams) => {
      for (const { uri, type } of changes) plans.changedOnDisk(keyOf(uri), type !== FileChangeType.Deleted);
    }),
  );
  connection.listen();
}

function foldersOf({ workspaceFolders, rootUri }: InitializeParams): string[] {
  if (workspaceFolders !== undefined && workspaceFolders !== null) return workspaceFolders.map(({ uri }) => uri);
  return typeof rootUri === 'string' ? [rootUri] : [];
}
