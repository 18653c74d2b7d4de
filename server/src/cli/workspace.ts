import { dirname, isAbsolute, join, parse, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { SourceFile } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import type { Analysis, Refused } from '../analysis/analysis.ts';
import { type FileText, Host } from '../analysis/host.ts';
import type { Disk } from './io.ts';
import { readPlanText, type Trouble, type TroubleCode, troubleOf } from './plan-text.ts';

/** A plan that was read and analysed. */
export interface OpenPlan {
  /** The file as the person named it. */
  readonly name: string;
  readonly main: SourceFile;
  readonly analysis: Analysis;
  /** Answers for the plan as it would be with other texts. */
  readonly host: Host;
}

/** A file named on the command line that is no plan. */
export interface UnreadFile extends Trouble {
  readonly name: string;
}

/**
 * Finds and reads plans on disk. What a plan uses must lie inside its root, with all symbolic links resolved: the
 * folder given by --root, else the nearest folder above the plan that holds `.git`, else the plan's own folder.
 */
export class Workspace {
  private readonly disk: Disk;
  private readonly cwd: string;
  private readonly root: string | undefined;
  private readonly hosts = new Map<string, Host>();

  /** Throws as the disk does when `root` is not there. */
  constructor(disk: Disk, cwd: string, root?: string) {
    this.disk = disk;
    this.cwd = disk.exists(cwd) ? disk.realPath(cwd) : cwd;
    this.root = root === undefined ? undefined : disk.realPath(resolve(cwd, root));
  }

  open(name: string): OpenPlan | UnreadFile {
    let path: string;
    try {
      path = this.disk.realPath(resolve(this.cwd, name));
    } catch (error) {
      return { name, ...troubleOf(error) };
    }
    const root = this.root ?? this.nearestRoot(dirname(path));
    if (!isInside(path, root)) return { name, trouble: 'outside', reason: 'lies outside the folder given by --root' };
    const read = readPlanText(this.disk, path);
    if ('trouble' in read) return { name, ...read };
    const uri = uriOf(path);
    const host = this.hostOf(root);
    host.setFile(uri, read.text);
    return { name, main: sure(host.fileOf(uri)), analysis: host.analyse(uri), host };
  }

  /** How a file of a plan is called in messages: as the person named it, or by its path from where they stand. */
  nameOf(plan: OpenPlan, uri: string): string {
    if (uri === plan.main.uri) return plan.name;
    const path = pathOf(uri) ?? uri;
    const near = relative(this.cwd, path);
    return near.startsWith(`..${sep}..`) || near === '' ? path : near;
  }

  /** Replaces a file of a plan on the disk. Throws as the disk does. */
  write(uri: string, text: string): void {
    const path = pathOf(uri);
    if (path !== undefined) this.disk.replace(this.disk.realPath(path), text);
  }

  private hostOf(root: string): Host {
    let host = this.hosts.get(root);
    if (host === undefined) {
      host = new Host((uri) => this.readUsed(uri, root), folderUri(root));
      this.hosts.set(root, host);
    }
    return host;
  }

  private readUsed(uri: string, root: string): FileText {
    const path = pathOf(uri);
    if (path === undefined) return { missing: true };
    try {
      const real = this.disk.realPath(path);
      if (!isInside(real, root))
        return { refused: 'file-outside', reason: 'is a link to a file outside the folder of this display' };
      const read = readPlanText(this.disk, real);
      return 'text' in read ? read : refused(read);
    } catch (error) {
      return refused(troubleOf(error));
    }
  }

  private nearestRoot(folder: string): string {
    for (let at = folder; ; at = dirname(at)) {
      if (this.disk.exists(join(at, '.git'))) return at;
      if (at === parse(at).root) return folder;
    }
  }
}

/** An empty file that a plan uses is no trouble: it just adds nothing. */
function refused({ trouble, reason }: Trouble): FileText {
  if (trouble === 'missing-file') return { missing: true };
  if (trouble === 'empty') return { text: '' };
  return { refused: REFUSALS[trouble], reason };
}

const REFUSALS: Readonly<Record<Exclude<TroubleCode, 'missing-file' | 'empty'>, Refused['refused']>> = {
  'not-a-file': 'missing-file',
  unreadable: 'missing-file',
  outside: 'file-outside',
  binary: 'missing-file',
  'not-text': 'missing-file',
  'too-large': 'too-large',
};

function isInside(path: string, folder: string): boolean {
  const way = relative(folder, path);
  return way !== '' && way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way);
}

/** Every character that is not plain is escaped, so that one file has one URI however a plan refers to it. */
function uriOf(path: string): string {
  const segments = path.split(sep).map(encodeURIComponent);
  return `file://${path.startsWith('/') ? '' : '/'}${segments.join('/')}`;
}

function folderUri(path: string): string {
  const uri = uriOf(path);
  return uri.endsWith('/') ? uri : `${uri}/`;
}

function pathOf(uri: string): string | undefined {
  try {
    return fileURLToPath(uri);
  } catch {
    return undefined;
  }
}
