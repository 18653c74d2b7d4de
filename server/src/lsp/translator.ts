import {
  type Location,
  type MarkupContent,
  MarkupKind,
  type Range,
  type TextDocumentEdit,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { SourceFile } from '#grammar/source.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { type Card, cardMarkdown, cardText } from '../ide/card.ts';
import { type FileEdit, type FileSpan, fileIn } from '../ide/file-span.ts';
import type { ClientTraits } from './client-traits.ts';
import type { Documents } from './documents.ts';
import { LineIndex } from './line-index.ts';
import { uriOf } from './uri.ts';

/** Turns places and texts of ours into those of the protocol, as the client at hand counts and shows them. */
export class Translator {
  readonly traits: ClientTraits;
  private readonly documents: Documents;
  private readonly lines = new WeakMap<SourceFile, LineIndex>();

  constructor(traits: ClientTraits, documents: Documents) {
    this.traits = traits;
    this.documents = documents;
  }

  linesOf(file: SourceFile): LineIndex {
    const open = this.documents.get(file.uri)?.lines;
    if (open?.text === file.text) return open;
    let lines = this.lines.get(file);
    if (lines === undefined) {
      lines = new LineIndex(file.text, this.traits.encoding);
      this.lines.set(file, lines);
    }
    return lines;
  }

  /** The address of a file as the client knows it. */
  address(key: string): string {
    return this.documents.get(key)?.uri ?? uriOf(key);
  }

  /** The version of a file that edits are meant for; null for one that is not open. */
  versionOf(key: string): number | null {
    return this.documents.get(key)?.version ?? null;
  }

  range(analysis: Analysis, { uri, start, end }: FileSpan): Range {
    const file = fileIn(analysis, uri);
    return file === undefined ? NOWHERE : this.linesOf(file).rangeOf(start, end);
  }

  location(analysis: Analysis, span: FileSpan): Location {
    return { uri: this.address(span.uri), range: this.range(analysis, span) };
  }

  /** Edits stamped with the version that they were made for, where the client can check it. */
  workspaceEdit(analyses: Analysis | readonly Analysis[], edits: readonly FileEdit[]): WorkspaceEdit {
    const byFile = new Map<string, TextEdit[]>();
    const all = 'findings' in analyses ? [analyses] : analyses;
    for (const edit of edits) {
      const analysis = all.find((candidate) => fileIn(candidate, edit.uri) !== undefined);
      if (analysis === undefined) continue;
      const list = byFile.get(edit.uri) ?? [];
      list.push({ range: this.range(analysis, edit), newText: edit.text });
      byFile.set(edit.uri, list);
    }
    if (!this.traits.takesVersionedEdits) {
      return { changes: Object.fromEntries([...byFile].map(([key, list]) => [this.address(key), list])) };
    }
    return {
      documentChanges: [...byFile].map(
        ([key, list]): TextDocumentEdit => ({
          textDocument: { uri: this.address(key), version: this.versionOf(key) },
          edits: list,
        }),
      ),
    };
  }

  markup(card: Card, markdown: boolean): MarkupContent {
    return markdown
      ? { kind: MarkupKind.Markdown, value: cardMarkdown(card) }
      : { kind: MarkupKind.PlainText, value: cardText(card) };
  }
}

const NOWHERE: Range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
