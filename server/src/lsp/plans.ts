import type { SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { type FileText, Host } from '../analysis/host.ts';
import { fileIn } from '../ide/file-span.ts';
import type { Documents } from './documents.ts';
import type { Files } from './files.ts';
import type { Turns } from './in-turns.ts';
import { Outlines } from './outlines.ts';
import { type Progress, SILENT } from './progress.ts';
import { folderKeyOf, keyOf } from './uri.ts';

/**
 * Which plan a file belongs to, and the analyses of plans. A file with a `plan` statement, or one that no known file
 * uses, is a plan of its own; any other belongs to the plans that use it.
 */
export class Plans {
  private readonly documents: Documents;
  private readonly files: Files;
  private readonly host: Host;
  private readonly arrivals = new Map<string, Promise<void>>();
  private readonly outlines = new Outlines((key) => this.folderOf(key));
  private folders: readonly string[] = [];
  /** All plan files of the workspace that are known, open or not. */
  private readonly known = new Set<string>();
  private listing: Promise<void> = Promise.resolve();
  private readonly onArrival: () => void;

  /** `onArrival` is called when a file has come that answers were waiting for, or has changed on the disk. */
  constructor(documents: Documents, files: Files, onArrival: () => void) {
    this.documents = documents;
    this.files = files;
    this.onArrival = onArrival;
    this.host = new Host(
      (key) => this.readLater(key),
      (key) => this.rootOf(key),
    );
  }

  /** Takes the text of an open document as the file's text. */
  update(key: string, text: string): void {
    this.arrivals.delete(key);
    this.host.setFile(key, text);
    this.outlines.set(key, text);
  }

  /** The file is no longer open: what is on the disk counts again. Nobody looks again at a plan outside of all folders. */
  close(key: string): void {
    this.reread(key);
    if (!this.known.has(key)) this.host.letGo(key);
    this.outlines.delete(key);
    this.listAgain(key);
  }

  /** A file was changed or removed behind the client's back. */
  changedOnDisk(key: string, exists: boolean): void {
    if (exists) this.known.add(key);
    else this.known.delete(key);
    if (this.documents.has(key)) return;
    this.reread(key);
    if (!exists) {
      this.outlines.delete(key);
      this.host.setMissing(key);
      this.host.letGo(key);
    } else if (this.folders.some((folder) => key.startsWith(folder))) {
      this.listAgain(key);
    }
    this.onArrival();
  }

  /** Every file that is known, open or not. */
  knownFiles(): Set<string> {
    return new Set([...this.known, ...this.documents.all().map((document) => document.key)]);
  }

  /** The folder that the `use` lines of a file may not leave. */
  folderOf(key: string): string {
    return this.rootOf(key) ?? folderOf(key);
  }

  setFolders(uris: readonly string[]): void {
    this.folders = uris.map(folderKeyOf);
    this.outlines.forgetUsers();
    this.host.forgetAnalyses();
  }

  /** Looks for the plan files of the workspace; files that are not plans of their own wait for it. */
  list(progress = SILENT): void {
    this.listing = this.listNow(progress).finally(() => progress.end());
  }

  /** Resolves when the plan files of the workspace are known. */
  listed(): Promise<void> {
    return this.listing;
  }

  /** The main files of all known plans, open or not. */
  async allMains(): Promise<readonly string[]> {
    await this.listing;
    const keys = new Set([...this.documents.all().map((document) => document.key), ...this.known]);
    return [...new Set([...keys].flatMap((key) => this.mainsOf(key)))];
  }

  /** The files of all known plans, each once. With `turns`, others have their turn between plans. */
  async sourcesOfAllPlans(turns?: Turns): Promise<SourceFile[]> {
    const files = new Map<string, SourceFile>();
    const mains = await this.allMains();
    for (const [index, main] of mains.entries()) {
      for (const file of await this.sourcesOf(main)) if (!files.has(file.uri)) files.set(file.uri, file);
      await turns?.part(index + 1, mains.length);
    }
    return [...files.values()];
  }

  /** The files of a plan by its main file. */
  sourcesOf(main: string): Promise<readonly SourceFile[]> {
    // A plan that our own fault keeps from being read is reported when its findings are asked for.
    return this.settled(main).then(
      (analysis) => analysis.files,
      () => [],
    );
  }

  /** The analysis that shows a file: that of the plan it belongs to. Waits for files that are on their way. */
  async analysisFor(key: string): Promise<Analysis> {
    if (!this.outlines.isPlan(key)) await this.listing;
    const analysis = await this.settled(sure(this.mainsOf(key)[0]));
    return fileIn(analysis, key) === undefined ? this.settled(key) : analysis;
  }

  /** The analyses of all open plans that a file belongs to; where none is open, of the first one. */
  async analysesFor(key: string): Promise<Analysis[]> {
    const first = await this.analysisFor(key);
    // Of files that use each other in a circle without a plan, each is read as the main one: every `use` line is named.
    const counts = (main: string) => this.documents.has(main) || this.outlines.usersByFile().has(main);
    const others = this.mainsOf(key).filter((main) => main !== first.uri && counts(main));
    const analyses = await Promise.all(others.map((main) => this.settled(main)));
    return [first, ...analyses.filter((analysis) => fileIn(analysis, key) !== undefined)];
  }

  /** The analyses of all plans that a file belongs to, open or not: a name in it may stand in any of them. */
  async everyAnalysisFor(key: string): Promise<Analysis[]> {
    await this.listing;
    const first = await this.analysisFor(key);
    const others = this.mainsOf(key).filter((main) => main !== first.uri);
    const analyses = await Promise.all(others.map((main) => this.settled(main)));
    return [first, ...analyses.filter((analysis) => fileIn(analysis, key) !== undefined)];
  }

  /** The plans that a file belongs to: open ones first, those that were worked on last before others. */
  mainsOf(key: string): string[] {
    if (this.outlines.isPlan(key)) return [key];
    const users = this.outlines.usersByFile();
    const mains = new Set<string>();
    const seen = new Set([key]);
    for (const file of seen) {
      const above = users.get(file) ?? [];
      if (file !== key && (above.length === 0 || this.outlines.isPlan(file))) mains.add(file);
      else for (const user of above) seen.add(user);
    }
    // Every way up leads round in a circle: all files of it count as plans.
    const round = [...seen].some((file) => users.get(file)?.includes(key));
    if (mains.size === 0 && seen.size > 1) for (const file of seen) if (file !== key || round) mains.add(file);
    const touched = (main: string) => this.documents.get(main)?.touched ?? 0;
    return mains.size === 0 ? [key] : [...mains].sort((a, b) => touched(b) - touched(a) || (a < b ? -1 : 1));
  }

  private async settled(main: string): Promise<Analysis> {
    for (;;) {
      const analysis = this.host.analyse(main);
      if (analysis.files.length === 0 && !this.documents.has(main)) {
        const arrival = this.arrivals.get(main);
        if (arrival === undefined) return analysis;
        await arrival;
        continue;
      }
      if (analysis.pending.length === 0) return analysis;
      await Promise.all(analysis.pending.map((uri) => this.arrivals.get(uri)));
    }
  }

  /** The workspace folder that a file lies in; the innermost where folders lie in one another. */
  private rootOf(key: string): string | undefined {
    return this.folders.filter((folder) => key.startsWith(folder)).sort((a, b) => b.length - a.length)[0];
  }

  private readLater(key: string): FileText {
    this.arrive(key);
    return { pending: true };
  }

  /** Reads a file; whatever is known of it by then is replaced, unless it was opened or changed in the meantime. */
  private arrive(key: string): void {
    if (this.arrivals.has(key)) return;
    const arrival = this.files.read(key, [this.rootOf(key) ?? folderOf(key)]).then((text) => {
      if (this.arrivals.get(key) !== arrival || this.documents.has(key)) return;
      this.arrivals.delete(key);
      if (text === undefined) this.host.setMissing(key);
      else this.host.setFile(key, text);
      if (text !== undefined) this.outlines.set(key, text);
      this.onArrival();
    });
    this.arrivals.set(key, arrival);
  }

  /** Reads what one file says of others; until then, files that may belong to it wait. */
  private listAgain(key: string): void {
    this.arrive(key);
    this.listing = Promise.all([this.listing, this.arrivals.get(key)]).then(() => {});
  }

  private reread(key: string): void {
    this.arrivals.delete(key);
    this.host.forget(key);
  }

  private async listNow(progress: Progress): Promise<void> {
    const found = (await this.files.find(this.folders)).map(keyOf).filter((key) => this.rootOf(key) !== undefined);
    this.known.clear();
    for (const key of found) this.known.add(key);
    for (const key of this.outlines.keys())
      if (!this.known.has(key) && !this.documents.has(key)) this.outlines.delete(key);
    let read = 0;
    await Promise.all(
      found.map(async (key) => {
        const text = this.outlines.has(key) ? undefined : await this.files.read(key, this.folders);
        if (text !== undefined && !this.outlines.has(key)) this.outlines.set(key, text);
        progress.tell(++read, found.length);
      }),
    );
    this.onArrival();
  }
}

function folderOf(key: string): string {
  return key.slice(0, key.lastIndexOf('/') + 1);
}
