/** The language server's entry. For now it answers `initialize` and nothing else. */
import { createConnection, ProposedFeatures, TextDocumentSyncKind } from 'vscode-languageserver/node';

const connection = createConnection(ProposedFeatures.all);
connection.onInitialize(() => ({ capabilities: { textDocumentSync: TextDocumentSyncKind.Incremental } }));
connection.listen();
