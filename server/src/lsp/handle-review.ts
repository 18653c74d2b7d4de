import type { TextDocumentIdentifier } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { Host } from '../analysis/host.ts';
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

/** The plan as it was last committed. Its texts are asked for each time; what has not changed is not read again. */
interface Committed {
  readonly uri: string;
  readonly host: Host;
  readonly known: Set<string>;
}

/**
 * `festoon/review` { textDocument }. The server reads no history: it asks the client, with a request of our own,
 * `festoon/committedFile` { uri }, which gives { text } or { error }.
 */
export function handleReview(ctx: ServerContext): void {
  const none: ReviewResult = { reason: 'This file cannot be read.' };
  let kept: Committed | undefined;
  ctx.connection.onRequest(
    'festoon/review',
    onFile<ReviewParams, ReviewResult>(ctx, 'festoon/review', none, async ({ analysis }) => {
      if (kept?.uri !== analysis.uri)
        kept = { uri: analysis.uri, host: new Host(() => ({ pending: true })), known: new Set([analysis.uri]) };
      const before = await committed(ctx, kept);
      if (typeof before === 'string') return { reason: before };
      return { paper: comparisonPaper('the last commit', 'now', compare(factsOf(before), factsOf(analysis))) };
    }),
  );
}

/** The analysis of the plan as it was last committed, or why there is none. */
async function committed({ connection }: ServerContext, { uri, host, known }: Committed): Promise<Analysis | string> {
  let wanted = [...known];
  for (let round = 0; round < MOST_ROUNDS; round++) {
    for (const key of wanted) {
      const answer = await ask(connection, key);
      if ('text' in answer) host.setFile(key, answer.text);
      else if (key === uri) return answer.error;
      else host.setMissing(key);
      known.add(key);
    }
    const analysis = host.analyse(uri);
    if (analysis.pending.length === 0) return analysis;
    wanted = [...analysis.pending];
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
