import { type CancellationToken, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { Steps } from '../planning/steps.ts';

/** ms that work may go on before messages are looked at. */
const TURN_MS = 12;

/**
 * Does work in turns, between which other messages are served: a request that is cancelled is left there, and so is one
 * that `isCurrent` no longer holds for.
 */
export async function inTurns<T>(
  steps: Steps<T>,
  token: CancellationToken,
  isCurrent: () => boolean | Promise<boolean>,
): Promise<T> {
  for (let until = performance.now() + TURN_MS; ; ) {
    const { done, value } = steps.next();
    if (done === true) return value;
    if (performance.now() < until) continue;
    await new Promise((resolve) => {
      setTimeout(resolve);
    });
    if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
    if (!(await isCurrent())) throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed');
    until = performance.now() + TURN_MS;
  }
}
