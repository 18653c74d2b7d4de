import { type CancellationToken, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { Steps } from '../model/steps.ts';
import { type Progress, SILENT } from './progress.ts';

/** ms that work may go on before messages are looked at. */
const TURN_MS = 12;

/** Long work in turns, between which other messages are served: work that nobody waits for any more is left there. */
export class Turns {
  private readonly token: CancellationToken;
  private readonly progress: Progress;
  private until = performance.now() + TURN_MS;

  constructor(token: CancellationToken, progress = SILENT) {
    this.token = token;
    this.progress = progress;
  }

  get isOver(): boolean {
    return performance.now() >= this.until;
  }

  /** Lets others have their turn. Rejects where the work has been cancelled. */
  async next(): Promise<void> {
    await new Promise((resolve) => {
      setTimeout(resolve);
    });
    if (this.token.isCancellationRequested || this.progress.isCancelled())
      throw new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
    this.until = performance.now() + TURN_MS;
  }

  /** A part of the work is done, of so many: others have their turn if this one is over. */
  async part(done: number, all: number): Promise<void> {
    this.progress.tell(done, all);
    if (this.isOver) await this.next();
  }
}

/** Does steps in turns, and leaves them too where `isCurrent` no longer holds. */
export async function inTurns<T>(
  steps: Steps<T>,
  token: CancellationToken,
  isCurrent: () => boolean | Promise<boolean>,
  progress = SILENT,
): Promise<T> {
  const turns = new Turns(token, progress);
  for (let done = 1; ; done++) {
    const step = steps.next();
    if (step.done === true) return step.value;
    progress.tell(done);
    if (!turns.isOver) continue;
    await turns.next();
    if (!(await isCurrent())) throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed');
  }
}
