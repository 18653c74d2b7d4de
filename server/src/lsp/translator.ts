import {
  type ChangeAnnotation,
  type Location,
  type MarkupContent,
  MarkupKind,
  type Range,
  StringValue,
  type TextDocumentEdit,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { SourceFile } from '#grammar/source.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { lineOfCode } from '../checks/checks-page.ts';
import { type Card, cardMarkdown, cardText } from '../ide/card.ts';
import { type FileEdit, type FileSpan, fileIn } from '../ide/file-span.ts';
import type { ClientTraits } from './client-traits.ts';
import type { Documents } from './documents.ts';
import { LineIndex } from './line-index.ts';
import { schemeOf, uriOf } from './uri.ts';

/** Turns places and texts of ours into those of the protocol, as the client at hand counts and shows them. */
export class Translator {
  readonly traits: ClientTraits;
  private readonly documents: Documents;
  private readonly lines = new WeakMap<SourceFile, LineIndex>();

  /** Address of the page of codes. */
  private readonly page: string | undefined;

  constructor(traits: ClientTraits, documents: Documents, page?: string) {
    this.traits = traits;
    this.documents = documents;
    this.page = page;
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

  /**
   * Where a code is explained: in a page of its own where the client shows such, else in the page of all codes by its
   * line, since editors open files at lines and not all of them know anchors.
   */
  explanation(code: string): string | undefined {
    const { explains, showsExplanations } = this.traits;
    if (explains !== undefined) return `${explains}:${code}.md`;
    return this.page === undefined || !showsExplanations ? undefined : `${this.page}#L${lineOfCode(code)}`;
  }

  /** An earlier version that is shown beside a plan: its files are not to be had, so what is said of it would be wrong. */
  leavesOut(uri: string): boolean {
    return this.traits.leavesOut.has(schemeOf(uri));
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
    const all = 'findings' in analyses ? [analyses] : analyses;
    const files = new Set(edits.map((edit) => edit.uri));
    const found = [...files].flatMap((uri) => {
      const analysis = all.find((candidate) => fileIn(candidate, uri) !== undefined);
      return (analysis === undefined ? undefined : fileIn(analysis, uri)) ?? [];
    });
    return this.editsOfFiles(found, edits);
  }

  /** The same for files as they are; edits of others are left out. */
  editsOfFiles(files: readonly SourceFile[], edits: readonly FileEdit[]): WorkspaceEdit {
    const sources = new Map(files.map((file) => [file.uri, file]));
    const byFile = new Map<string, TextEdit[]>();
    for (const { uri, start, end, text } of edits) {
      const file = sources.get(uri);
      if (file === undefined) continue;
      const list = byFile.get(uri) ?? [];
      list.push({ range: this.linesOf(file).rangeOf(start, end), newText: text });
      byFile.set(uri, list);
    }
    if (!this.traits.takesVersionedEdits) {
      return { changes: Object.fromEntries([...byFile].map(([key, list]) => [this.address(key), list])) };
    }
    const annotates = this.traits.takesChangeAnnotations && byFile.size > 1;
    const annotated = (key: string, list: TextEdit[]) =>
      annotates ? list.map((edit) => ({ ...edit, annotationId: this.isOpen(key) ? OPEN : UNSEEN })) : list;
    const documentChanges = [...byFile].map(
      ([key, list]): TextDocumentEdit => ({
        textDocument: { uri: this.address(key), version: this.versionOf(key) },
        edits: annotated(key, list),
      }),
    );
    return annotates ? { documentChanges, changeAnnotations: ANNOTATIONS } : { documentChanges };
  }

  /** Something put into a file, with places to be tabbed through. */
  snippetEdit(analysis: Analysis, { uri, start, end, text }: FileEdit): WorkspaceEdit {
    const edit = { range: this.range(analysis, { uri, start, end }), snippet: StringValue.createSnippet(text) };
    return {
      documentChanges: [{ textDocument: { uri: this.address(uri), version: this.versionOf(uri) }, edits: [edit] }],
    };
  }

  /** An empty file; one that has come meanwhile is left as it is. */
  newFile(key: string): WorkspaceEdit {
    return { documentChanges: [{ kind: 'create', uri: this.address(key), options: { ignoreIfExists: true } }] };
  }

  private isOpen(key: string): boolean {
    return this.documents.get(key) !== undefined;
  }

  markup(card: Card, markdown: boolean): MarkupContent {
    return markdown
      ? { kind: MarkupKind.Markdown, value: cardMarkdown(card) }
      : { kind: MarkupKind.PlainText, value: cardText(card) };
  }
}

const OPEN = 'open';
const UNSEEN = 'unseen';

/** Of an edit in several files: what it does to files that nobody has in sight is confirmed first. */
const ANNOTATIONS: Readonly<Record<string, ChangeAnnotation>> = {
  [OPEN]: { label: 'In files that are open', needsConfirmation: false },
  [UNSEEN]: {
    label: 'In files that are not open',
    description: 'Look at them before they are changed.',
    needsConfirmation: true,
  },
};

const NOWHERE: Range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
