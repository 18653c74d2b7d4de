import type { Account } from '../model/account.ts';
import type { Claims } from '../model/claims.ts';
import type { Edit, Finding, Fix, Level, Report } from '../model/finding.ts';
import type { Plan } from '../model/plan.ts';

/**
 * One thing that Festoon looks for. A check without `run` is reported while the plan is read (syntax, words, names);
 * its entry here gives it a level, a title and an explanation.
 */
export interface Check {
  /** Stable: it stands in plans, reports and links. */
  readonly code: string;
  /** error: wrong or unsafe; warning: will work badly; information: worth knowing. */
  readonly level: Level;
  readonly title: string;
  /** What it means, why it matters, what to do, where the limit comes from. Markdown. */
  readonly explanation: string;
  /** Looks at the plan as a whole. All others see one group of things at a time that are joined by wire. */
  readonly whole?: true;
  /** Somebody can be hurt by what it finds: a plan that accepts it still shows it. */
  readonly hazard?: true;
  /** Speaks of volts or amps, which mean nothing where the wrong voltage comes in. */
  readonly ofLoad?: true;
  /** What it has to look at, and why where that is nothing; without it the check always has something. */
  readonly needs?: (ctx: CheckContext) => Needs;
  readonly run?: (ctx: CheckContext, report: Report) => void;
  /** Small fixes that need computing; called only when someone asks. Plans for injection stand in server/src/planning. */
  readonly suggest?: (ctx: SuggestContext, finding: Finding) => readonly Fix[];
}

/** How many things a check looks at, and what one of them is called. */
export interface Needs {
  readonly count: number;
  readonly what: string;
  /** Why some or all of it is left out. */
  readonly why?: string;
}

export interface CheckContext {
  readonly plan: Plan;
  readonly account: Account;
  /** What the plan says of itself; none for checks that see one group of things. */
  readonly claims: Claims;
}

export interface SuggestContext extends CheckContext {
  /** Analyses the plan as it would be after some edits. */
  readonly preview: (edits: readonly Edit[]) => Preview;
}

export interface Preview extends CheckContext {
  readonly findings: readonly Finding[];
}
