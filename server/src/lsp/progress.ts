import type { Connection, ProgressToken } from 'vscode-languageserver';

/** Work that is done sooner is not spoken of, ms: it would only flicker. */
const PATIENCE_MS = 500;
/** Between two reports, ms: more than anybody can read. */
const REPORT_MS = 200;

/** How far a piece of work is, as the client is told once it takes long. */
export interface Progress {
  /** So much is done of so much; or so many steps, where nobody knows how many there are. */
  readonly tell: (done: number, all?: number) => void;
  /** To be called whatever becomes of the work; once more does no harm. */
  readonly end: () => void;
  /** A person has cancelled what we show unasked. A client that gave a token cancels its request instead. */
  readonly isCancelled: () => boolean;
}

/** Work that is not told of. */
export const SILENT: Progress = { tell: () => undefined, end: () => undefined, isCancelled: () => false };

/** What a piece of work is called while it goes on. */
export interface Work {
  readonly title: string;
  /** It can be left. */
  readonly cancellable: boolean;
}

/** Tells of work under the token that came with a request. */
export function tellAsked({ window }: Connection, work: Work, token: ProgressToken | undefined): Progress {
  return isToken(token) ? new Told(work, async () => window.attachWorkDoneProgress(token)) : SILENT;
}

/** Tells of work under a token of ours; a client that shows none is told nothing. */
export function tellUnasked({ window }: Connection, work: Work): Progress {
  return new Told(work, () => window.createWorkDoneProgress());
}

/** Under the token that came with a request, or else unasked. */
export function tell(connection: Connection, work: Work, token: ProgressToken | undefined): Progress {
  return isToken(token) ? tellAsked(connection, work, token) : tellUnasked(connection, work);
}

/** Clients say null for nothing. */
export function isToken(token: unknown): token is ProgressToken {
  return typeof token === 'string' || typeof token === 'number';
}

type Reporter = Awaited<ReturnType<Connection['window']['createWorkDoneProgress']>>;

/** Begins when patience is over, unless the work has ended by then. */
class Told implements Progress {
  private readonly work: Work;
  private readonly timer: NodeJS.Timeout;
  /** Set from the beginning on. */
  private reporter: (Omit<Reporter, 'token'> & Partial<Pick<Reporter, 'token'>>) | undefined;
  private isOver = false;
  private percentage: number | undefined;
  private message: string | undefined;
  private reported = 0;

  constructor(work: Work, create: () => Promise<NonNullable<typeof this.reporter>>) {
    this.work = work;
    const begin = async () => {
      this.reporter = await create();
      this.reported = performance.now();
      this.reporter.begin(work.title, this.percentage, this.message, work.cancellable);
      if (this.isOver) this.reporter.done();
    };
    // A client that refuses is told nothing.
    this.timer = setTimeout(() => void begin().catch(() => undefined), PATIENCE_MS);
  }

  tell(done: number, all?: number): void {
    this.message = all === undefined ? `${done} steps` : `${done} of ${all}`;
    this.percentage = all === undefined ? undefined : Math.floor((100 * done) / all);
    if (this.reporter === undefined || performance.now() - this.reported < REPORT_MS) return;
    this.reported = performance.now();
    if (this.percentage === undefined) this.reporter.report(this.message);
    else this.reporter.report(this.percentage, this.message);
  }

  end(): void {
    if (this.isOver) return;
    clearTimeout(this.timer);
    this.isOver = true;
    this.reporter?.done();
  }

  isCancelled(): boolean {
    return this.work.cancellable && this.reporter?.token?.isCancellationRequested === true;
  }
}
