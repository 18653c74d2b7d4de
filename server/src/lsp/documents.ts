import type { TextDocumentContentChangeEvent } from 'vscode-languageserver';
import { type Encoding, LineIndex } from './line-index.ts';
import { keyOf } from './uri.ts';

/** A document that is open in the client, as the client last sent it. */
export interface OpenDocument {
  readonly key: string;
  /** As the client writes it. */
  readonly uri: string;
  readonly version: number;
  readonly lines: LineIndex;
  /** Grows with every change of any document: the greatest is where the person works. */
  readonly touched: number;
}

/** The open documents. Their text is what counts, saved or not. */
export class Documents {
  private readonly open = new Map<string, OpenDocument>();
  private clock = 0;
  encoding: Encoding = 'utf-16';
  private readonly changed: (length: number) => void;

  /** `changed` is told how many characters there are in all, whenever a document is opened, changed or closed. */
  constructor(changed: (length: number) => void = () => undefined) {
    this.changed = changed;
  }

  set(uri: string, version: number, text: string): OpenDocument {
    const document = {
      key: keyOf(uri),
      uri,
      version,
      lines: new LineIndex(text, this.encoding),
      touched: ++this.clock,
    };
    this.keep(document);
    return document;
  }

  /** Applies changes in order; each counts from the text that the one before left. */
  change(uri: string, version: number, changes: readonly TextDocumentContentChangeEvent[]): OpenDocument | undefined {
    const document = this.open.get(keyOf(uri));
    if (document === undefined) return undefined;
    let { lines } = document;
    for (const change of changes) {
      if ('range' in change) {
        const { start, end } = lines.spanOf(change.range);
        lines = lines.edited(start, end, change.text);
      } else lines = new LineIndex(change.text, this.encoding);
    }
    const changed = { ...document, version, lines, touched: ++this.clock };
    this.keep(changed);
    return changed;
  }

  close(uri: string): string {
    const key = keyOf(uri);
    this.open.delete(key);
    this.tell();
    return key;
  }

  get(key: string): OpenDocument | undefined {
    return this.open.get(key);
  }

  has(key: string): boolean {
    return this.open.has(key);
  }

  private keep(document: OpenDocument): void {
    this.open.set(document.key, document);
    this.tell();
  }

  private tell(): void {
    let length = 0;
    for (const { lines } of this.open.values()) length += lines.text.length;
    this.changed(length);
  }

  all(): OpenDocument[] {
    return [...this.open.values()];
  }
}
