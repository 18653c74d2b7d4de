import { dirname, join, relative, resolve, sep } from 'node:path';
import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { type CommandArguments, UsageError } from './command.ts';
import { gitDisk, overlaid, topOf } from './git-disk.ts';
import type { Disk, Io } from './io.ts';
import { mainPlanIn } from './main-plan.ts';
import { gitName, openWorkspace } from './open-plans.ts';
import { printable } from './printable.ts';
import { Workspace } from './workspace.ts';

/** One of the two versions that are compared. */
export interface Side {
  readonly name: string;
  readonly analysis: Analysis;
}

/** The versions that the command line names; undefined, with the reason on standard error, where one cannot be read. */
export function sidesOf(args: CommandArguments, io: Io): readonly [Side, Side] | undefined {
  const [first, second] = [sure(args.names[0]), args.names[1]];
  const [oldName, newName] = second === undefined ? [committedName(io, first), first] : [first, second];
  const before = openSide(args, io, oldName);
  const after = openSide(args, io, newName);
  return before === undefined || after === undefined ? undefined : [before, after];
}

function committedName(io: Io, name: string): string {
  const top = topOf(io.git, io.cwd);
  if (top === undefined)
    throw new UsageError(`${name} lies in no git repository, or git is not installed; name two versions to compare`);
  const path = io.disk.exists(resolve(io.cwd, name)) ? io.disk.realPath(resolve(io.cwd, name)) : resolve(io.cwd, name);
  return `HEAD:${relative(io.disk.realPath(top), path).split(sep).join('/')}`;
}

function openSide(args: CommandArguments, io: Io, name: string): Side | undefined {
  const inGit = gitName(io, name);
  const disk = inGit === undefined ? io.disk : gitDisk(io.git, inGit.top, inGit.revision);
  const path = inGit === undefined ? resolve(io.cwd, name) : resolve(inGit.top, inGit.path);
  const file = fileIn(disk, path);
  const opened = openWorkspace(args, { ...io, disk }).open(file ?? path);
  if (!('trouble' in opened)) return { name, analysis: opened.analysis };
  io.err(
    `${printable(name)} ${file === undefined ? 'holds no plan: no file in it has a plan statement' : opened.reason}.\n`,
  );
  return undefined;
}

/** The file itself, or the plan of a folder. */
function fileIn(disk: Disk, path: string): string | undefined {
  try {
    return disk.stat(path).kind === 'folder' ? mainPlanIn(disk, path) : path;
  } catch {
    return path;
  }
}

/**
 * The two versions that git hands to a diff driver: path, old file, hash and mode, new file, hash and mode. The other files
 * of the display are those of the last commit on both sides, so that what is told comes from this file alone.
 */
export function driverSides(args: CommandArguments, io: Io): readonly [Side, Side] | undefined {
  const [path, oldFile, , , newFile] = args.names;
  if (path === undefined || oldFile === undefined || newFile === undefined)
    throw new UsageError('--driver is called by git, with a path and two versions');
  const top = topOf(io.git, io.cwd);
  if (top === undefined) throw new UsageError('--driver is called by git, in a repository');
  const at = resolve(top, path);
  const committed = gitDisk(io.git, top, 'HEAD');
  const side = (name: string, file: string): Side | undefined => {
    const bytes = file === '/dev/null' ? new Uint8Array() : io.disk.read(resolve(io.cwd, file));
    const disk = bytes.length === 0 ? committed : overlaid(committed, at, bytes);
    const workspace = new Workspace(disk, top, top);
    for (const candidate of candidates(disk, top, at)) {
      const opened = workspace.open(candidate);
      if ('trouble' in opened) continue;
      if (candidate === at || opened.analysis.files.some(({ uri }) => uri.endsWith(encodeName(relative(top, at)))))
        return { name, analysis: opened.analysis };
    }
    io.err(`${printable(path)} cannot be read as a plan.\n`);
    return undefined;
  };
  const before = side(`${path} before`, oldFile);
  const after = side('after', newFile);
  return before === undefined || after === undefined ? undefined : [before, after];
}

/** The plan that a file belongs to: that of its folder or of one above; else the file is looked at by itself. */
function* candidates(disk: Disk, top: string, at: string): Iterable<string> {
  for (let folder = dirname(at); ; folder = dirname(folder)) {
    const main = mainPlanIn(disk, folder);
    if (main !== undefined) yield main;
    if (folder === top || relative(top, folder).startsWith('..') || folder === join(folder, '..')) break;
  }
  yield at;
}

function encodeName(path: string): string {
  return path.split(sep).map(encodeURIComponent).join('/');
}
