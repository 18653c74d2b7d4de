import type { Connection } from 'vscode-languageserver';
import type { ClientTraits } from './client-traits.ts';

/** Files that come one after the other cause one refresh. */
const PAUSE_MS = 50;

/** Asks the client to ask again, when something has changed that it cannot know of: a used file came or changed. */
export class Refresh {
  private readonly connection: Connection;
  private readonly traits: ClientTraits;
  private timer: NodeJS.Timeout | undefined;

  constructor(connection: Connection, traits: ClientTraits) {
    this.connection = connection;
    this.traits = traits;
  }

  schedule(): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.run(), PAUSE_MS);
  }

  private run(): void {
    const { languages } = this.connection;
    // A client that is shutting down answers with an error, or not at all; that is of no interest.
    const ask = async (wanted: boolean, refresh: () => Promise<void>) => {
      try {
        if (wanted) await refresh();
      } catch {
        return;
      }
    };
    void ask(this.traits.pullsDiagnostics && this.traits.refreshesDiagnostics, () => languages.diagnostics.refresh());
    void ask(this.traits.refreshesInlayHints, () => languages.inlayHint.refresh());
    void ask(this.traits.refreshesLenses, () => this.connection.sendRequest('workspace/codeLens/refresh'));
    void ask(this.traits.refreshesSemanticTokens, () => languages.semanticTokens.refresh());
  }
}
