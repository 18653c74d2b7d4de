import { readSource, type SourceFile } from '#grammar/source.ts';
import type { Edit, Origin } from '../model/finding.ts';
import { SolutionCache } from '../model/solution-cache.ts';
import { type Analysis, analyse, type FileReader, type Refused } from './analysis.ts';
import { PieceCache } from './pieces.ts';

/** What a file reader says of a file: its text, or why there is none. */
export type FileText = { readonly text: string } | { readonly missing: true } | { readonly pending: true } | Refused;

/** The analysis of a plan, until the text of a file that it asked for changes. */
interface Kept {
  analysis: Analysis | undefined;
  asked: ReadonlySet<string>;
}

/**
 * Holds the texts of files and answers with analyses. Texts are the only state; every analysis is made from them, and
 * whatever an edit did not change (declarations, solutions) is taken over from before.
 */
export class Host {
  private readonly files = new Map<string, SourceFile | Refused | 'missing'>();
  private readonly solutions = new SolutionCache();
  /** What plans are made of, by their main file: what an edit does not touch is taken over. */
  private readonly pieces = new Map<string, PieceCache>();
  /** By main file, with the addresses that were asked for: another file's text changes nothing in them. */
  private readonly analyses = new Map<string, Kept>();
  private readonly read: (uri: string) => FileText;
  private readonly rootOf: (uri: string) => string | undefined;

  /**
   * `read` is asked for files that were never set; it may answer that the file is on its way. `root` is the folder that
   * `use` may not leave (a URI that ends with a slash), the same for all plans or by plan; undefined: the folder of the
   * plan itself.
   */
  constructor(read: (uri: string) => FileText, root?: string | ((uri: string) => string | undefined)) {
    this.read = read;
    this.rootOf = typeof root === 'function' ? root : () => root;
  }

  /** Makes every analysis anew when it is next asked for; texts and solutions are kept. */
  forgetAnalyses(): void {
    for (const kept of this.analyses.values()) kept.analysis = undefined;
  }

  setFile(uri: string, text: string): void {
    const before = this.fileOf(uri);
    if (before?.text === text) return;
    this.files.set(uri, readSource(uri, text, before));
    this.outdate(uri);
  }

  /** Puts a file back as it was read before: origins that were found in it then count again. */
  restore(file: SourceFile): void {
    if (this.files.get(file.uri) === file) return;
    this.files.set(file.uri, file);
    this.outdate(file.uri);
  }

  setMissing(uri: string): void {
    if (this.files.get(uri) === 'missing') return;
    this.files.set(uri, 'missing');
    this.outdate(uri);
  }

  /** Lets go of what a plan is made of, for one that nobody works on any more; its texts and solutions are kept. */
  letGo(main: string): void {
    this.pieces.delete(main);
    this.analyses.delete(main);
  }

  /** Forgets a file; it is read anew when it is needed. What waits for it asks again. */
  forget(uri: string): void {
    this.files.delete(uri);
    this.outdate(uri);
  }

  fileOf(uri: string): SourceFile | undefined {
    const file = this.files.get(uri);
    return file === undefined || file === 'missing' || 'refused' in file ? undefined : file;
  }

  /** The analysis of the plan whose main file is `uri`. Never throws; a missing file is a finding. */
  analyse(uri: string): Analysis {
    const kept = this.analyses.get(uri);
    if (kept?.analysis !== undefined) return kept.analysis;
    const asked = new Set<string>();
    const reader = this.reader();
    const read: FileReader = (file) => {
      asked.add(file);
      return reader(file);
    };
    const pieces = this.piecesOf(uri);
    const analysis = analyse(
      uri,
      read,
      this.rootOf(uri),
      (statements) => pieces.assemble(statements),
      (edits) => this.preview(uri, edits),
    );
    if (kept === undefined) this.analyses.set(uri, { analysis, asked });
    else Object.assign(kept, { analysis, asked });
    return analysis;
  }

  /** How many circuits have been solved so far; edits that change no circuit leave it as it is. */
  get solvedCount(): number {
    return this.solutions.solved;
  }

  /** Drops the analyses that a file takes part in, or would. */
  private outdate(uri: string): void {
    for (const kept of this.analyses.values()) if (kept.asked.has(uri)) kept.analysis = undefined;
  }

  private piecesOf(uri: string): PieceCache {
    let pieces = this.pieces.get(uri);
    if (pieces === undefined) {
      pieces = new PieceCache(this.solutions);
      this.pieces.set(uri, pieces);
    }
    return pieces;
  }

  private reader(): FileReader {
    return (uri) => {
      let file = this.files.get(uri);
      if (file === undefined) {
        const found = this.read(uri);
        if ('pending' in found) return 'pending';
        if ('text' in found) this.files.set(uri, readSource(uri, found.text));
        else this.files.set(uri, 'refused' in found ? found : 'missing');
        file = this.files.get(uri);
      }
      return file;
    };
  }

  /** The plan as it would be after some edits; nothing is kept but solutions. */
  preview(uri: string, edits: readonly Edit[]): Analysis {
    if (edits.length === 0) return this.analyse(uri);
    const changed = new Map<string, SourceFile>();
    for (const target of new Set(edits.map((edit) => edit.origin.uri))) {
      const file = this.fileOf(target);
      if (file === undefined) continue;
      changed.set(
        target,
        readSource(
          target,
          applyEdits(
            file,
            edits.filter((edit) => edit.origin.uri === target),
          ),
          file,
        ),
      );
    }
    const reader = this.reader();
    const pieces = this.piecesOf(uri);
    return analyse(
      uri,
      (other) => changed.get(other) ?? reader(other),
      this.rootOf(uri),
      (statements) => pieces.assemble(statements, true),
      () => {
        throw new Error('a preview of a preview');
      },
    );
  }
}

/** Offsets of an origin in its file as it stands; undefined when the declaration is no longer part of the file. */
export function offsetsOf(file: SourceFile, origin: Origin): { start: number; end: number } | undefined {
  const base = file.offsets.get(origin.declaration);
  return base === undefined ? undefined : { start: base + origin.start, end: base + origin.end };
}

/** The text of a file after edits that do not overlap; edits at the same place keep their order. */
export function applyEdits(file: SourceFile, edits: readonly Edit[]): string {
  const placed = edits.flatMap((edit, order) => {
    const at = offsetsOf(file, edit.origin);
    return at === undefined ? [] : [{ ...at, text: edit.text, order }];
  });
  placed.sort((a, b) => b.start - a.start || b.order - a.order);
  let text = file.text;
  for (const edit of placed) text = text.slice(0, edit.start) + edit.text + text.slice(edit.end);
  return text;
}
