import { count } from '../model/texts.ts';
import type { Check, CheckContext } from './check.ts';
import { CHECKS } from './registry.ts';

/** What became of a check on a plan: how much it looked at, or why it had nothing to look at. */
export interface Coverage {
  readonly check: Check;
  readonly ran: boolean;
  /** How many things it looked at, and what one is called; absent where it looks at the plan as such. */
  readonly count: number | undefined;
  readonly what: string | undefined;
  /** Why nothing, or not all, was looked at. */
  readonly why: string | undefined;
}

/** One for each check that computes something. Words and names are looked at whenever a plan is read. */
export function coverageOf(ctx: CheckContext): Coverage[] {
  return CHECKS.filter((check) => check.run !== undefined || check.needs !== undefined).map((check) => {
    const needs = check.needs?.(ctx);
    return { check, ran: needs?.count !== 0, count: needs?.count, what: needs?.what, why: needs?.why };
  });
}

/** "3 routes"; undefined where a check looks at the plan as such. */
export function lookedAt({ count: size, what }: Coverage): string | undefined {
  if (size === undefined || what === undefined) return undefined;
  return count(size, what, what.endsWith('y') ? `${what.slice(0, -1)}ies` : `${what}s`);
}

/** How many checks of words and names there are besides. */
export const WORD_CHECKS: number = CHECKS.filter(({ run, needs }) => run === undefined && needs === undefined).length;
