import type { Connection } from 'vscode-languageserver';
import { HINT_FAMILIES, type HintFamily } from '../ide/inlay-hints.ts';

/** What a person has set for the editor; nothing here changes what is found in a plan. */
export class Settings {
  private readonly connection: Connection;
  private readonly asks: boolean;
  private known: Promise<ReadonlySet<HintFamily>> | undefined;

  /** `asks`: the client answers questions about settings. */
  constructor(connection: Connection, asks: boolean) {
    this.connection = connection;
    this.asks = asks;
  }

  forget(): void {
    this.known = undefined;
  }

  /** Families of inlay hints that are wanted: `festoon.inlayHints.runs` and so on, all unless set to false. */
  hints(): Promise<ReadonlySet<HintFamily>> {
    this.known ??= this.ask();
    return this.known;
  }

  private async ask(): Promise<ReadonlySet<HintFamily>> {
    const all = new Set(HINT_FAMILIES);
    if (!this.asks) return all;
    try {
      const found: unknown = await this.connection.workspace.getConfiguration('festoon.inlayHints');
      if (typeof found !== 'object' || found === null) return all;
      return new Set(HINT_FAMILIES.filter((family) => (found as Record<string, unknown>)[family] !== false));
    } catch {
      return all;
    }
  }
}
