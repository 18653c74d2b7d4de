import type { Connection } from 'vscode-languageserver';
import type { Documents } from './documents.ts';
import type { Guard } from './guard.ts';
import type { Late } from './late.ts';
import type { Plans } from './plans.ts';
import type { Translator } from './translator.ts';

/** What the handlers of requests share. */
export interface ServerContext {
  readonly connection: Connection;
  readonly documents: Documents;
  readonly plans: Plans;
  readonly guard: Guard;
  /** Set once the client has said what it can do. */
  readonly to: Translator;
  /** Part of a large answer, made when it is written. */
  readonly late: Late;
}
