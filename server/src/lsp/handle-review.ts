import type { TextDocumentIdentifier } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { type FileText, Host } from '../analysis/host.ts';
import type { Paper } from '../papers/paper.ts';
import { compare } from '../review/compare.ts';
import { comparisonPaper } from '../review/comparison-paper.ts';
import { factsOf } from '../review/facts.ts';
import type { ServerContext } from './context.ts';
import { onFile } from './from-lsp.ts';
import { uriOf } from './uri.ts';

export interface ReviewParams {
  readonly textDocument: TextDocumentIdentifier;
}

/** What the plan's change since the last commit does, or why that cannot be told. */
export type ReviewResult = { readonly paper: Paper } | { readonly reason: string };

/** Each round reads the files that the last one found a "use" of. */
const MOST_ROUNDS = 33;

/**
 * `festoon/review` { textDocument }. The server reads no history: it asks the client, with a request of our own,
 * `festoon/committedFile` { uri }, which gives { text } or { error }.
 */
export function handleReview(ctx: ServerContext): void {
  const none: ReviewResult = { reason: 'This file cannot be read.' };
  ctx.connection.onRequest(
    'festoon/review',
    onFile<ReviewParams, ReviewResult>(ctx, 'festoon/review', none, async ({ analysis }) => {
      const before = await committed(ctx, analysis);
      if (typeof before === 'string') return { reason: before };
      return { paper: comparisonPaper('the last commit', 'now', compare(factsOf(before), factsOf(analysis))) };
    }),
  );
}

/** The analysis of the plan as it was last committed, or why there is none. */
async function committed({ connection }: ServerContext, analysis: Analysis): Promise<Analysis | string> {
  const texts = new Map<string, FileText>();
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const host = new Host((key) => texts.get(key) ?? { pending: true });
    const wanted = round === 0 ? [analysis.uri] : host.analyse(analysis.uri).pending;
    if (wanted.length === 0) return host.analyse(analysis.uri);
    for (const key of wanted) {
      const answer = await ask(connection, key);
      if ('text' in answer) texts.set(key, { text: answer.text });
      else if (key === analysis.uri) return answer.error;
      else texts.set(key, { missing: true });
    }
  }
  return 'Files use files too deep to be followed.';
}

async function ask(
  connection: ServerContext['connection'],
  key: string,
): Promise<{ text: string } | { error: string }> {
  try {
    const answer = await connection.sendRequest<{ text?: unknown; error?: unknown }>('festoon/committedFile', {
      uri: uriOf(key),
    });
    if (typeof answer?.text === 'string') return { text: answer.text };
    return { error: typeof answer?.error === 'string' ? answer.error : 'The editor has no last commit of this file.' };
  } catch {
    return { error: 'This editor cannot tell what was last committed.' };
  }
}
