import { sure } from '#grammar/sure.ts';
import { resolveUse } from '../analysis/resolve-use.ts';

/** What a file says about others, found without reading it in full. */
interface Outline {
  readonly isPlan: boolean;
  readonly paths: readonly string[];
}

/**
 * The outlines of all files that are known, and who uses whom. Who uses whom is asked for with every answer, by every file of
 * a workspace when all of it is looked at, and changes with a `use` line alone: it is kept until then.
 */
export class Outlines {
  private readonly outlines = new Map<string, Outline>();
  private users: ReadonlyMap<string, readonly string[]> | undefined;
  private readonly folderOf: (key: string) => string;

  /** `folderOf` gives the folder that the `use` lines of a file may not leave. */
  constructor(folderOf: (key: string) => string) {
    this.folderOf = folderOf;
  }

  has(key: string): boolean {
    return this.outlines.has(key);
  }

  isPlan(key: string): boolean {
    return this.outlines.get(key)?.isPlan === true;
  }

  keys(): IterableIterator<string> {
    return this.outlines.keys();
  }

  set(key: string, text: string): void {
    const [before, outline] = [this.outlines.get(key), outlineOf(text)];
    this.outlines.set(key, outline);
    if (before === undefined || !areSame(before.paths, outline.paths)) this.forgetUsers();
  }

  delete(key: string): void {
    if (this.outlines.delete(key)) this.forgetUsers();
  }

  /** Folders have changed: paths may lead elsewhere. */
  forgetUsers(): void {
    this.users = undefined;
  }

  /** Who uses each file. */
  usersByFile(): ReadonlyMap<string, readonly string[]> {
    this.users ??= this.findUsers();
    return this.users;
  }

  private findUsers(): Map<string, string[]> {
    const users = new Map<string, string[]>();
    for (const [user, { paths }] of this.outlines) {
      const root = this.folderOf(user);
      for (const path of paths) {
        const target = resolveUse(user, path, root);
        if (target === undefined || target === user) continue;
        const list = users.get(target);
        if (list === undefined) users.set(target, [user]);
        else list.push(user);
      }
    }
    return users;
  }
}

function areSame(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((path, index) => path === b[index]);
}

/** A statement's keyword stands at the start of a line, so these are found without parsing. */
function outlineOf(text: string): Outline {
  const paths = [...text.matchAll(/^[ \t\f\v\u00a0\ufeff]*use[ \t\f\v\u00a0\ufeff]+"([^"\r\n]*)"/gm)].map((match) =>
    sure(match[1]),
  );
  return { isPlan: /^[ \t\f\v\u00a0\ufeff]*plan(?![\w-])/m.test(text), paths };
}
