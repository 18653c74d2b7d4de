import type { CancellationToken, ProgressToken } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import type { ServerContext } from './context.ts';

/** What is asked of a command, as its only argument; without one, or without a plan: the plan that was worked on last. */
export interface CommandArgument {
  /** A file of the plan, open or in a folder of the workspace. */
  readonly uri?: string;
  /** Of a drawing: what to draw; `wiring` where it is left out. */
  readonly view?: 'wiring' | 'run' | 'site';
  /** The name of the run to draw; the first where it is left out. */
  readonly run?: string;
}

/** What a command is carried out with besides. */
export interface How {
  readonly token: CancellationToken;
  readonly workDoneToken: ProgressToken | undefined;
  /** Whether the plan still stands as it was when the command was given. */
  readonly isCurrent: () => Promise<boolean>;
}

/** Gives the answer of a command about a plan. */
export type Command = (ctx: ServerContext, analysis: Analysis, asked: CommandArgument, how: How) => unknown;
