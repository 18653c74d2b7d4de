import type { Range, TextDocumentIdentifier } from 'vscode-languageserver';
import { expectationsOf, type TestOutcome, unreadTests } from '../analysis/expectations.ts';
import { spanOf } from '../ide/file-span.ts';
import type { ServerContext } from './context.ts';
import { type Asked, onFile } from './from-lsp.ts';

/** `festoon/tests`: what the plan that a file belongs to expects of itself, with the outcome of each line. */
export interface TestsParams {
  readonly textDocument: TextDocumentIdentifier;
}

export interface TestsResult {
  /** The main file of the plan. */
  readonly plan: string;
  readonly tests: readonly PlacedTest[];
  /** Lines that could not be read: none of them may pass for tested. */
  readonly unread: number;
}

export interface PlacedTest extends Omit<TestOutcome, 'origin'> {
  readonly uri: string;
  readonly range: Range;
}

export function handleTests(ctx: ServerContext): void {
  ctx.connection.onRequest(
    'festoon/tests',
    onFile<TestsParams, TestsResult | null>(ctx, 'festoon/tests', null, (asked) => ({
      plan: asked.to.address(asked.analysis.uri),
      tests: expectationsOf(asked.analysis).flatMap((outcome) => placed(asked, outcome)),
      unread: unreadTests(asked.analysis),
    })),
  );
}

function placed({ analysis, to }: Asked, { origin, ...outcome }: TestOutcome): PlacedTest[] {
  const span = spanOf(analysis, origin);
  return span === undefined ? [] : [{ ...outcome, uri: to.address(span.uri), range: to.range(analysis, span) }];
}
