import type { RenameFilesParams, WorkspaceEdit } from 'vscode-languageserver';
import { explainCode } from '../ide/explain.ts';
import { useEditsFor } from '../ide/rename-files.ts';
import type { ServerContext } from './context.ts';
import { keyOf } from './uri.ts';

/** What concerns files as such, and a request of our own: `festoon/explain` { code } gives { markdown } or null. */
export function handleFiles({ connection, guard, plans, to }: ServerContext): void {
  connection.workspace.onWillRenameFiles(
    guard.request<RenameFilesParams, WorkspaceEdit | null>('workspace/willRenameFiles', null, async ({ files }) => {
      const moves = files.map(({ oldUri, newUri }) => ({ from: trimmed(oldUri), to: trimmed(newUri) }));
      const sources = await plans.sourcesOfAllPlans();
      const edits = useEditsFor(sources, moves);
      return edits.length === 0 ? null : to.editsOfFiles(sources, edits);
    }),
  );
  connection.onRequest(
    'festoon/explain',
    guard.request<{ code: string }, { markdown: string } | null>('festoon/explain', null, ({ code }) => {
      const markdown = explainCode(code);
      return markdown === undefined ? null : { markdown };
    }),
  );
}

function trimmed(uri: string): string {
  return keyOf(uri).replace(/\/$/, '');
}
