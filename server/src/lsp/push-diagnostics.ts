import type { Connection, Diagnostic } from 'vscode-languageserver';
import type { ServerContext } from './context.ts';
import { diagnosticsOf, type FileDiagnostics, internalProblem } from './diagnostics.ts';
import type { Documents } from './documents.ts';
import type { Plans } from './plans.ts';
import type { Translator } from './translator.ts';

/** A pause in typing after which findings are sent; short enough to feel immediate. */
const PAUSE_MS = 30;

/**
 * For clients that do not ask: sends the findings of open files, and of those that open plans use, whenever something
 * has changed. Each set carries the version it was made for; one that a newer text has overtaken is not sent. A file that
 * is no longer looked at gets the empty set.
 */
export class PushDiagnostics {
  private readonly connection: Connection;
  private readonly documents: Documents;
  private readonly plans: Plans;
  private readonly to: Translator;
  private readonly report: (error: unknown, key: string) => string;
  private readonly sent = new Map<string, string>();
  private timer: NodeJS.Timeout | undefined;
  private round = 0;

  constructor({ connection, documents, plans, to }: ServerContext, report: (error: unknown, key: string) => string) {
    this.connection = connection;
    this.documents = documents;
    this.plans = plans;
    this.to = to;
    this.report = report;
  }

  schedule(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      this.run().catch((error) => this.report(error, 'all open files'));
    }, PAUSE_MS);
  }

  /** At once, so that nothing stays behind for a file that was closed. */
  clear(key: string, uri: string): void {
    if (this.sent.delete(key)) void this.send(uri, undefined, []);
  }

  private async run(): Promise<void> {
    const round = ++this.round;
    const shown = new Set<string>();
    for (const key of await this.keys()) {
      shown.add(key);
      const before = this.documents.get(key)?.version;
      const found = await this.find(key);
      if (round !== this.round || before !== this.documents.get(key)?.version) return;
      const mark = `${before ?? ''} ${found.resultId}`;
      if (this.sent.get(key) === mark) continue;
      this.sent.set(key, mark);
      void this.send(this.to.address(key), before, found.items);
    }
    if (round !== this.round) return;
    for (const key of [...this.sent.keys()]) if (!shown.has(key)) this.clear(key, this.to.address(key));
  }

  /** Open files and all files of the plans that they belong to. */
  private async keys(): Promise<Set<string>> {
    const keys = new Set<string>();
    for (const { key } of this.documents.all()) {
      keys.add(key);
      try {
        for (const file of (await this.plans.analysisFor(key)).files) keys.add(file.uri);
      } catch {
        // Said when the file's own findings are asked for.
      }
    }
    return keys;
  }

  private async find(key: string): Promise<FileDiagnostics> {
    try {
      return await diagnosticsOf(this.plans, this.to, key);
    } catch (error) {
      return internalProblem(this.report(error, key));
    }
  }

  private async send(uri: string, version: number | undefined, diagnostics: Diagnostic[]): Promise<void> {
    try {
      await this.connection.sendDiagnostics({ uri, diagnostics, ...(version === undefined ? {} : { version }) });
    } catch {
      return; // The client has gone.
    }
  }
}
