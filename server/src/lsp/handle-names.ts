import {
  type DocumentHighlight,
  DocumentHighlightKind,
  type DocumentHighlightParams,
  type Location,
  LSPErrorCodes,
  type PrepareRenameParams,
  type Range,
  type ReferenceParams,
  type RenameParams,
  ResponseError,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { FileEdit } from '../ide/file-span.ts';
import { type Mention, mentionsAt } from '../ide/references.ts';
import { type Refusal, renameAt, renameTargetAt } from '../ide/rename.ts';
import type { ServerContext } from './context.ts';
import { offsetOf, onFile } from './from-lsp.ts';

/** Where names stand, and giving them others. A file that several plans use is looked at in all of them. */
export function handleNames(ctx: ServerContext): void {
  const { connection, plans, to } = ctx;
  connection.onReferences(
    onFile<ReferenceParams, Location[]>(ctx, 'textDocument/references', [], async (asked, { position, context }) => {
      const offset = offsetOf(asked, position);
      const found = new Map<string, Location>();
      for (const analysis of await plans.everyAnalysisFor(asked.key)) {
        for (const mention of mentionsAt(analysis, asked.key, offset)) {
          if (mention.declares && !context.includeDeclaration) continue;
          found.set(placeOf(mention), to.location(analysis, mention));
        }
      }
      return [...found.values()];
    }),
  );
  connection.onDocumentHighlight(
    onFile<DocumentHighlightParams, DocumentHighlight[]>(
      ctx,
      'textDocument/documentHighlight',
      [],
      (asked, { position }) =>
        mentionsAt(asked.analysis, asked.key, offsetOf(asked, position))
          .filter((mention) => mention.uri === asked.key)
          .map((mention) => ({
            range: to.range(asked.analysis, mention),
            kind: mention.declares ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
          })),
    ),
  );
  connection.onPrepareRename(
    onFile<PrepareRenameParams, { range: Range; placeholder: string } | null>(
      ctx,
      'textDocument/prepareRename',
      null,
      (asked, { position }) => {
        const target = allowed(renameTargetAt(asked.analysis, asked.key, offsetOf(asked, position)));
        return { range: asked.lines.rangeOf(target.start, target.end), placeholder: target.name };
      },
    ),
  );
  connection.onRenameRequest(
    onFile<RenameParams, WorkspaceEdit | null>(
      ctx,
      'textDocument/rename',
      null,
      async (asked, { position, newName }) => {
        const offset = offsetOf(asked, position);
        const edits = new Map<string, FileEdit>();
        const analyses = await plans.everyAnalysisFor(asked.key);
        for (const analysis of analyses) {
          for (const edit of allowed(renameAt(analysis, asked.key, offset, newName))) edits.set(placeOf(edit), edit);
        }
        return to.workspaceEdit(analyses, [...edits.values()]);
      },
    ),
  );
}

function placeOf({ uri, start, end }: Pick<Mention, 'uri' | 'start' | 'end'>): string {
  return `${uri} ${start} ${end}`;
}

/** A refusal is told to the person in its own words. */
function allowed<T extends object>(answer: T | Refusal): T {
  if ('refused' in answer) throw new ResponseError(LSPErrorCodes.RequestFailed, answer.refused);
  return answer;
}
