import type { IndexSet } from './index-set.ts';

/** What a tried change has touched so far, and how to undo it. */
export interface Journal {
  readonly elements: IndexSet;
  readonly nodes: IndexSet;
  readonly undo: (() => void)[];
}
