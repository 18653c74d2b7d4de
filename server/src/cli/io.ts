import type { Transmission } from './light/transmission.ts';
import type { Line } from './page.ts';

/** The world as the command line sees it; tests give it one in memory. */
export interface Io {
  /** Text for standard output and standard error. Must hold nothing from a plan that was not made printable. */
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly disk: Disk;
  readonly git: RunGit;
  /** Sends pixel data over the network, later and for as long as was asked. */
  readonly transmit: (transmission: Transmission) => void;
  /** Absolute path of the folder that the command was started in. */
  readonly cwd: string;
  /** Columns of the terminal; undefined where the output is no terminal. */
  readonly columns: number | undefined;
  /** Whether somebody reads standard error as it is written. */
  readonly errIsTerminal: boolean;
  readonly colour: boolean;
}

/** Asks git something in a folder; undefined where it refuses, or where there is no git. */
export type RunGit = (args: readonly string[], folder: string) => Uint8Array | undefined;

/** The part of the file system that the command line needs. Methods throw as node:fs does. */
export interface Disk {
  /** The path with every symbolic link resolved. */
  readonly realPath: (path: string) => string;
  readonly stat: (path: string) => { readonly size: number; readonly kind: 'file' | 'folder' | 'other' };
  readonly exists: (path: string) => boolean;
  readonly read: (path: string) => Uint8Array;
  /** The names of the files and folders right below a folder. */
  readonly list: (path: string) => readonly string[];
  /** Replaces the text of a file in one step: an interruption leaves the old file or the new one. */
  readonly replace: (path: string, text: string) => void;
  /** Makes a folder, and those above it, where they are not there yet. */
  readonly makeFolder: (path: string) => void;
  /** Writes a file, new or not, in one step: an interruption leaves the old file, the new one, or none. */
  readonly write: (path: string, text: string) => void;
}

/** How a command ends. */
export const EXIT = { clean: 0, findings: 1, usage: 2, internal: 3 } as const;

export type Exit = (typeof EXIT)[keyof typeof EXIT];

export type Page = readonly Line[];
