import type {
  DidChangeTextDocumentParams,
  DidCloseTextDocumentParams,
  DidOpenTextDocumentParams,
} from 'vscode-languageserver';
import type { ServerContext } from './context.ts';
import type { PushDiagnostics } from './push-diagnostics.ts';
import { keyOf } from './uri.ts';

/** Keeps the open documents as the client has them, but those that it leaves out; says when a text has changed. */
export function followDocuments(
  { connection, documents, plans, guard, to }: ServerContext,
  push: PushDiagnostics | undefined,
  changed: () => void,
): void {
  connection.onDidOpenTextDocument(
    guard.notification('textDocument/didOpen', ({ textDocument }: DidOpenTextDocumentParams) => {
      if (to.leavesOut(textDocument.uri)) return;
      const { key, lines } = documents.set(textDocument.uri, textDocument.version, textDocument.text);
      plans.update(key, lines.text);
      push?.schedule();
    }),
  );
  connection.onDidChangeTextDocument(
    guard.notification('textDocument/didChange', ({ textDocument, contentChanges }: DidChangeTextDocumentParams) => {
      const document = documents.change(textDocument.uri, textDocument.version, contentChanges);
      if (document === undefined) return;
      plans.update(document.key, document.lines.text);
      push?.schedule();
      changed();
    }),
  );
  connection.onDidCloseTextDocument(
    guard.notification('textDocument/didClose', ({ textDocument }: DidCloseTextDocumentParams) => {
      if (to.leavesOut(textDocument.uri)) return;
      documents.close(textDocument.uri);
      const key = keyOf(textDocument.uri);
      plans.close(key);
      push?.clear(key, textDocument.uri);
      push?.schedule();
    }),
  );
}
