import type { TextDocumentIdentifier } from 'vscode-languageserver';
import { URI } from 'vscode-uri';
import { reportFiles } from '../papers/report-files.ts';
import type { ServerContext } from './context.ts';
import { onFile } from './from-lsp.ts';

/**
 * `festoon/report`: the papers of the plan that a file belongs to, for the client to write where the person chooses.
 */
export interface ReportParams {
  readonly textDocument: TextDocumentIdentifier;
}

export interface ReportResult {
  readonly files: readonly { readonly name: string; readonly text: string }[];
  /** The plan has findings, which stand on the first sheet. */
  readonly isFound: boolean;
}

export function handleReport(ctx: ServerContext): void {
  ctx.connection.onRequest(
    'festoon/report',
    onFile<ReportParams, ReportResult | null>(ctx, 'festoon/report', null, ({ analysis, to }) => {
      const name = URI.parse(to.address(analysis.uri)).path.split('/').at(-1) ?? '';
      const { files, isFound } = reportFiles(analysis, name, undefined);
      return { files: [...files].map(([file, text]) => ({ name: file, text })), isFound };
    }),
  );
}
