import type {
  DocumentFormattingParams,
  DocumentOnTypeFormattingParams,
  DocumentRangeFormattingParams,
  DocumentRangesFormattingParams,
  DocumentSymbol,
  DocumentSymbolParams,
  SymbolInformation,
  TextEdit,
  WorkspaceSymbolParams,
} from 'vscode-languageserver';
import { formatChanges } from '../ide/format.ts';
import { formatOnType, formatRange, formatRanges } from '../ide/format-range.ts';
import { findSymbols, outlineInPieces, outlineOf } from '../ide/symbols.ts';
import type { ServerContext } from './context.ts';
import { onFile } from './from-lsp.ts';
import { Turns } from './in-turns.ts';
import { tellAsked } from './progress.ts';
import { toFlatSymbols, toSymbolInformation, toSymbolTree, toTextEdits } from './to-lsp.ts';

/** What a person asks about a whole file: outline, formatting. */
export function handleDocuments(ctx: ServerContext): void {
  const { connection, guard, plans } = ctx;
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
      ({ to, file }) =>
        to.traits.takesSymbolTrees
          ? outlineInPieces(file).map((symbol) => ctx.late(() => toSymbolTree(to.linesOf(file), symbol())))
          : outlineOf(file).flatMap((symbol) => toFlatSymbols(to, file, symbol)),
    ),
  );
  connection.onRequest(
    'workspace/symbol',
    guard.request<WorkspaceSymbolParams, SymbolInformation[]>('workspace/symbol', [], async (params, token) => {
      const { query, workDoneToken } = params;
      const progress = tellAsked(connection, { title: 'Festoon: reading plans', cancellable: true }, workDoneToken);
      const files = await plans.sourcesOfAllPlans(new Turns(token, progress)).finally(() => progress.end());
      const byUri = new Map(files.map((file) => [file.uri, file]));
      return findSymbols(files, query).flatMap((found) => {
        const file = byUri.get(found.uri);
        return file === undefined ? [] : [toSymbolInformation(ctx.to, file, found)];
      });
    }),
  );
}
