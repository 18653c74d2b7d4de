import type { TextDocumentIdentifier } from 'vscode-languageserver';
import { URI } from 'vscode-uri';
import { reportSteps } from '../papers/report-files.ts';
import type { ServerContext } from './context.ts';
import { onFile } from './from-lsp.ts';
import { inTurns } from './in-turns.ts';
import { tellUnasked } from './progress.ts';

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
  const { connection } = ctx;
  connection.onRequest(
    'festoon/report',
    onFile<ReportParams, ReportResult | null>(ctx, 'festoon/report', null, async ({ analysis, to }, _, token) => {
      const name = URI.parse(to.address(analysis.uri)).path.split('/').at(-1) ?? '';
      const progress = tellUnasked(connection, { title: 'Festoon: making papers', cancellable: true });
      const steps = reportSteps(analysis, name, undefined);
      // They are of the plan as it stood when they were asked for.
      const { files, isFound } = await inTurns(steps, token, () => true, progress).finally(() => progress.end());
      return { files: [...files].map(([file, text]) => ({ name: file, text })), isFound };
    }),
  );
}
