import {
  type CancellationToken,
  type CodeAction,
  CodeActionKind,
  type CodeActionParams,
  CodeActionTriggerKind,
  type DocumentFormattingParams,
  type DocumentOnTypeFormattingParams,
  type DocumentRangeFormattingParams,
  type DocumentRangesFormattingParams,
  type DocumentSymbol,
  type DocumentSymbolParams,
  LSPErrorCodes,
  ResponseError,
  type SymbolInformation,
  type TextEdit,
} from 'vscode-languageserver';
import { fixAll, remedySteps } from '../ide/fixes.ts';
import { formatChanges } from '../ide/format.ts';
import { formatOnType, formatRange, formatRanges } from '../ide/format-range.ts';
import { refactorsAt } from '../ide/refactors.ts';
import { findSymbols, outlineOf } from '../ide/symbols.ts';
import { FIX_ALL } from './capabilities.ts';
import type { ServerContext } from './context.ts';
import { type Asked, askedOf, onFile, wants } from './from-lsp.ts';
import { inTurns } from './in-turns.ts';
import { toFlatSymbols, toQuickFix, toSymbolInformation, toSymbolTree, toTextEdits } from './to-lsp.ts';
import { keyOf } from './uri.ts';

/** What a person asks about a whole file: fixes, outline, formatting. */
export function handleDocuments(ctx: ServerContext): void {
  const { connection, guard, plans } = ctx;
  connection.onCodeAction(
    guard.request<CodeActionParams, CodeAction[]>('textDocument/codeAction', [], async (params, token) => {
      await untilStill(ctx, params, token);
      const asked = await askedOf(ctx, params.textDocument.uri, token);
      return asked === undefined ? [] : codeActions(ctx, asked, params, token);
    }),
  );
  connection.onDocumentFormatting(
    onFile<DocumentFormattingParams, TextEdit[]>(ctx, 'textDocument/formatting', [], ({ to, file }) =>
      toTextEdits(to, file, formatChanges(file.text)),
    ),
  );
  connection.onDocumentRangeFormatting(
    onFile<DocumentRangeFormattingParams, TextEdit[]>(
      ctx,
      'textDocument/rangeFormatting',
      [],
      ({ to, file, lines }, { range }) => toTextEdits(to, file, formatRange(file, lines.spanOf(range))),
    ),
  );
  connection.onDocumentRangesFormatting(
    onFile<DocumentRangesFormattingParams, TextEdit[]>(
      ctx,
      'textDocument/rangesFormatting',
      [],
      ({ to, file, lines }, { ranges }) =>
        toTextEdits(
          to,
          file,
          formatRanges(
            file,
            ranges.map((range) => lines.spanOf(range)),
          ),
        ),
    ),
  );
  connection.onDocumentOnTypeFormatting(
    onFile<DocumentOnTypeFormattingParams, TextEdit[]>(
      ctx,
      'textDocument/onTypeFormatting',
      [],
      ({ to, file, lines }, { position, ch }) =>
        toTextEdits(to, file, formatOnType(file, lines.offsetAt(position), ch)),
    ),
  );
  connection.onDocumentSymbol(
    onFile<DocumentSymbolParams, DocumentSymbol[] | SymbolInformation[]>(
      ctx,
      'textDocument/documentSymbol',
      [],
      ({ to, file }) => {
        const symbols = outlineOf(file);
        if (to.traits.takesSymbolTrees) return symbols.map((symbol) => toSymbolTree(to, file, symbol));
        return symbols.flatMap((symbol) => toFlatSymbols(to, file, symbol));
      },
    ),
  );
  connection.onWorkspaceSymbol(
    guard.request('workspace/symbol', [] as SymbolInformation[], async ({ query }: { query: string }) => {
      const files = await plans.sourcesOfAllPlans();
      const byUri = new Map(files.map((file) => [file.uri, file]));
      return findSymbols(files, query).flatMap((found) => {
        const file = byUri.get(found.uri);
        return file === undefined ? [] : [toSymbolInformation(ctx.to, file, found)];
      });
    }),
  );
}

/** Computing injection points can take a few hundred milliseconds. */
const CURSOR_PAUSE_MS = 100;

/** Editors ask for fixes at every step of the cursor. Nothing is computed for a step that the next one overtakes. */
async function untilStill(
  { documents }: ServerContext,
  { context, textDocument }: CodeActionParams,
  token: CancellationToken,
) {
  if (context.triggerKind !== CodeActionTriggerKind.Automatic) return;
  const version = documents.get(keyOf(textDocument.uri))?.version;
  await new Promise((resolve) => {
    setTimeout(resolve, CURSOR_PAUSE_MS);
  });
  if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
  if (version !== documents.get(keyOf(textDocument.uri))?.version)
    throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed');
}

async function codeActions(
  { plans }: ServerContext,
  { to, analysis, key, lines }: Asked,
  { range, context }: CodeActionParams,
  token: CancellationToken,
): Promise<CodeAction[]> {
  const actions: CodeAction[] = [];
  if (wants(context, CodeActionKind.QuickFix)) {
    const steps = remedySteps(analysis, key, lines.spanOf(range));
    const found = await inTurns(steps, token, async () => (await plans.analysisFor(key)) === analysis);
    const remedies = found.filter(({ disabled }) => disabled === undefined || to.traits.showsDisabledActions);
    actions.push(...remedies.map((remedy) => toQuickFix(to, analysis, key, remedy)));
  }
  actions.push(...refactorings({ to, analysis, key, lines }, { range, context }));
  if (wants(context, FIX_ALL)) {
    const edits = fixAll(analysis, key);
    if (edits.length > 0)
      actions.push({
        title: 'Fix all words, units, quotes and fuses',
        kind: FIX_ALL,
        edit: to.workspaceEdit(analysis, edits),
      });
  }
  return actions;
}

const REFACTORS = { extract: CodeActionKind.RefactorExtract, inline: CodeActionKind.RefactorInline } as const;

/** Each is tried on the whole plan, so they are made only when a person asks, not at each step of the cursor. */
function refactorings(
  { to, analysis, key, lines }: Pick<Asked, 'to' | 'analysis' | 'key' | 'lines'>,
  { range, context }: Pick<CodeActionParams, 'range' | 'context'>,
): CodeAction[] {
  if (context.triggerKind !== CodeActionTriggerKind.Invoked && context.only === undefined) return [];
  if (!Object.values(REFACTORS).some((kind) => wants(context, kind))) return [];
  return refactorsAt(analysis, key, lines.spanOf(range).start)
    .filter(({ kind }) => wants(context, REFACTORS[kind]))
    .map(({ title, kind, edits }) => ({ title, kind: REFACTORS[kind], edit: to.workspaceEdit(analysis, edits) }));
}
