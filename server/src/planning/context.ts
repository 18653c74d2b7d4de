import type { CheckContext } from '../checks/check.ts';
import type { Edit, Finding } from '../model/finding.ts';

/** What a planner may ask: the plan as it stands, and how any edit of it would turn out. */
export interface SuggestContext extends CheckContext {
  /** Analyses the plan as it would be after some edits. */
  readonly preview: (edits: readonly Edit[]) => Preview;
}

export interface Preview extends CheckContext {
  readonly findings: readonly Finding[];
}
