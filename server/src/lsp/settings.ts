import type { Connection } from 'vscode-languageserver';
import { HINT_FAMILIES, type HintFamily } from '../ide/inlay-hints.ts';

interface Known {
  readonly hints: ReadonlySet<HintFamily>;
  readonly lenses: boolean;
}

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

/** What a person has set for the editor; nothing here changes what is found in a plan. */
export class Settings {
  private readonly connection: Connection;
  private readonly asks: boolean;
  private known: Promise<Known> | undefined;

  /** `asks`: the client answers questions about settings. */
  constructor(connection: Connection, asks: boolean) {
    this.connection = connection;
    this.asks = asks;
  }

  forget(): void {
    this.known = undefined;
  }

  /** Families of inlay hints that are wanted: `festoon.inlayHints.runs` and so on, all unless set to false. */
  async hints(): Promise<ReadonlySet<HintFamily>> {
    this.known ??= this.ask();
    return (await this.known).hints;
  }

  /** Whether lenses are wanted above declarations: `festoon.codeLens`, on unless set to false. */
  async lenses(): Promise<boolean> {
    this.known ??= this.ask();
    return (await this.known).lenses;
  }

  private async ask(): Promise<Known> {
    const all: Known = { hints: new Set(HINT_FAMILIES), lenses: true };
    if (!this.asks) return all;
    try {
      const found: unknown = await this.connection.workspace.getConfiguration('festoon');
      if (!isRecord(found)) return all;
      const families = isRecord(found['inlayHints']) ? found['inlayHints'] : {};
      return {
        hints: new Set(HINT_FAMILIES.filter((family) => families[family] !== false)),
        lenses: found['codeLens'] !== false,
      };
    } catch {
      return all;
    }
  }
}
