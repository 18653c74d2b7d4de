import { resolve } from 'node:path';
import { type CommandArguments, UsageError } from './command.ts';
import { gitDisk, topOf } from './git-disk.ts';
import type { Io } from './io.ts';
import { troubleOf } from './plan-text.ts';
import { printable } from './printable.ts';
import { type OpenPlan, type UnreadFile, Workspace } from './workspace.ts';

export interface OpenedPlans {
  readonly workspace: Workspace;
  readonly plans: readonly OpenPlan[];
  readonly unread: readonly UnreadFile[];
}

/** Opens the named files. A file that another named plan uses is a part of that plan and not opened as one of its own. */
export function openPlans(args: CommandArguments, io: Io, names: readonly string[]): OpenedPlans {
  const workspace = openWorkspace(args, io);
  const open = opener(args, io, workspace);
  const plans: OpenPlan[] = [];
  const unread: UnreadFile[] = [];
  for (const name of names) {
    const opened = open(name);
    if ('trouble' in opened) unread.push(opened);
    else if (!plans.some((plan) => plan.main.uri === opened.main.uri)) plans.push(opened);
  }
  const parts = new Set<OpenPlan>();
  for (const plan of plans) {
    const users = plans.filter((other) => other !== plan && !parts.has(other));
    if (users.some((other) => other.analysis.files.some((file) => file.uri === plan.main.uri))) parts.add(plan);
  }
  return { workspace, plans: plans.filter((plan) => !parts.has(plan)), unread };
}

/** Opens one plan; what is wrong with its file is told on standard error. */
export function openPlan(args: CommandArguments, io: Io, name: string): OpenPlan | undefined {
  const opened = opener(args, io, openWorkspace(args, io))(name);
  if (!('trouble' in opened)) return opened;
  io.err(`${printable(name)} ${opened.reason}.\n`);
  return undefined;
}

/** Opens one plan on the disk, with the workspace that can write its files. */
export function openToWrite(
  args: CommandArguments,
  io: Io,
  name: string,
): { readonly workspace: Workspace; readonly plan: OpenPlan } | undefined {
  const workspace = openWorkspace(args, io);
  const opened = workspace.open(name);
  if (!('trouble' in opened)) return { workspace, plan: opened };
  io.err(`${printable(name)} ${opened.reason}.\n`);
  return undefined;
}

/** Opens files by name, those of a git revision ("HEAD:boathouse/plan.festoon", ":plan.festoon" as staged) as well. */
function opener(args: CommandArguments, io: Io, workspace: Workspace): (name: string) => OpenPlan | UnreadFile {
  return (name) => {
    const inGit = gitName(io, name);
    if (inGit === undefined) return workspace.open(name);
    const { top, revision, path } = inGit;
    const there = openWorkspace(args, { ...io, disk: gitDisk(io.git, top, revision) });
    const opened = there.open(resolve(top, path));
    return { ...opened, name };
  };
}

/** A name that means a file of a revision, as git writes it; a file that is really called so comes first. */
export function gitName(io: Io, name: string): { top: string; revision: string; path: string } | undefined {
  const colon = name.indexOf(':');
  // One letter and a colon is a drive.
  if (colon < 0 || colon === 1 || name.startsWith('-') || io.disk.exists(resolve(io.cwd, name))) return undefined;
  const top = topOf(io.git, io.cwd);
  if (top === undefined) return undefined;
  return { top, revision: name.slice(0, colon), path: name.slice(colon + 1) };
}

export function openWorkspace(args: CommandArguments, io: Io): Workspace {
  const root = args.values['root'];
  if (typeof root !== 'string') return new Workspace(io.disk, io.cwd);
  try {
    if (io.disk.stat(resolve(io.cwd, root)).kind !== 'folder') throw new UsageError(`--root: ${root} is not a folder`);
    return new Workspace(io.disk, io.cwd, root);
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw new UsageError(`--root: ${root} ${troubleOf(error).reason}`);
  }
}
