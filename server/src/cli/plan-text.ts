import type { Disk } from './io.ts';

/** A plan's text, or why the file cannot be one: a code, and words that go on from the name of the file. */
export type PlanText = { readonly text: string } | Trouble;

export interface Trouble {
  readonly trouble: TroubleCode;
  readonly reason: string;
}

export type TroubleCode =
  | 'missing-file'
  | 'not-a-file'
  | 'unreadable'
  | 'outside'
  | 'empty'
  | 'binary'
  | 'not-text'
  | 'too-large';

const MOST_BYTES = 2_000_000;
const MOST_LINES = 50_000;

/** Reads a file as a plan. Never throws. A byte order mark is taken off. */
export function readPlanText(disk: Disk, path: string): PlanText {
  try {
    const { kind, size } = disk.stat(path);
    if (kind === 'folder') return trouble('not-a-file', 'is a folder, not a plan');
    if (kind === 'other') return trouble('not-a-file', 'is a device or a pipe, not a plan');
    if (size > MOST_BYTES) return tooLarge(`has ${(size / 1e6).toFixed(1)} MB; a plan has 2 MB at most`);
    return decode(disk.read(path));
  } catch (error) {
    return troubleOf(error);
  }
}

function decode(bytes: Uint8Array): PlanText {
  // The size is asked again: the file may have grown, and some files do not know their size before they are read.
  if (bytes.length > MOST_BYTES) return tooLarge('has more than 2 MB');
  if (bytes.includes(0))
    return trouble('binary', 'is not a plan: it holds binary data (or text saved as UTF-16; save it as UTF-8)');
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return trouble('not-text', 'is not UTF-8 text; save it as UTF-8');
  }
  if (text.trim() === '') return trouble('empty', 'is empty: there is no plan in it yet');
  const lines = text.match(/\r\n|\n|\r/g)?.length ?? 0;
  if (lines >= MOST_LINES) return tooLarge(`has ${(lines + 1).toLocaleString('en')} lines; a plan has 50,000 at most`);
  return { text };
}

function tooLarge(reason: string): Trouble {
  return trouble('too-large', reason);
}

function trouble(code: TroubleCode, reason: string): Trouble {
  return { trouble: code, reason };
}

/** Why a folder cannot be made or a file in it not be written, in words that go on from the name of the folder. */
export function reasonNotWritten(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  switch (code) {
    case 'EEXIST':
    case 'ENOTDIR':
      return 'cannot be a folder: a file has that name, or the name of a folder above it';
    case 'ENOENT':
      return 'cannot be made there';
    case 'EISDIR':
      return 'cannot be written: a folder in it has the name of one of the papers';
    case 'EROFS':
      return 'cannot be written: the disk is read-only';
    case 'ENOSPC':
      return 'cannot be written: the disk is full';
    default:
      return troubleOf(error).reason.replace('be read', 'be written');
  }
}

/** What an error of the file system means to a person. */
export function troubleOf(error: unknown): Trouble {
  const code = (error as NodeJS.ErrnoException).code;
  switch (code) {
    case 'ENOENT':
    case 'ENOTDIR':
      return trouble('missing-file', 'is not there');
    case 'EACCES':
    case 'EPERM':
      return trouble('unreadable', 'may not be read: permission is denied');
    case 'EISDIR':
      return trouble('not-a-file', 'is a folder, not a plan');
    case 'ELOOP':
      return trouble('unreadable', 'is a link that leads round in a circle');
    default:
      return trouble('unreadable', `cannot be read (${code ?? 'unknown cause'})`);
  }
}
