import type { Account } from '../model/account.ts';
import { NO_CLAIMS } from '../model/claims.ts';
import { cornersOf } from '../model/corners.ts';
import { collector, type Finding, type Origin, type Report } from '../model/finding.ts';
import type { Plan } from '../model/plan.ts';
import type { Check, CheckContext } from './check.ts';

/**
 * Runs checks on the nominal account, which comes first, and on the account of each corner. The same finding at several
 * corners is said once, as the worst of them with its corner named.
 */
export function findAtCorners(
  checks: readonly Check[],
  plan: Plan,
  accounts: readonly Account[],
  at: Origin | undefined,
  claims = NO_CLAIMS,
): Finding[] {
  const corners = cornersOf(plan.design);
  const [account, ...others] = accounts;
  if (account === undefined) return [];
  const nominal = runChecks(checks, { plan, account, claims }, at);
  if (others.length === 0) return nominal;
  const worst = new Map<string, Finding>();
  const take = (findings: readonly Finding[], corner: string) => {
    for (const finding of findings) {
      const { uri, start } = finding.origin;
      const key = `${finding.code} ${finding.subject ?? `${uri} ${start}`}`;
      const before = worst.get(key);
      if (before !== undefined && (finding.excess ?? 0) <= (before.excess ?? 0) + 1e-9) continue;
      worst.set(key, corner === '' ? finding : { ...finding, message: `${finding.message} Worst corner: ${corner}.` });
    }
  };
  take(nominal, '');
  for (const [index, other] of others.entries()) {
    take(runChecks(checks, { plan, account: other, claims }, at), corners[index]?.name ?? '');
  }
  return [...worst.values()];
}

/** A check that fails must not take the others with it: its failure becomes a finding. */
function runChecks(checks: readonly Check[], ctx: CheckContext, at: Origin | undefined): Finding[] {
  const { findings, report } = collector();
  for (const check of checks) {
    try {
      check.run?.(ctx, report);
    } catch (error) {
      reportFailure(`its check "${check.code}"`, error, at, report);
    }
  }
  return findings;
}

/** Says where Festoon itself failed; the rest of the plan is served. */
export function reportFailure(where: string, error: unknown, at: Origin | undefined, report: Report): void {
  if (at === undefined) return;
  const what = error instanceof Error ? error.message : String(error);
  report({
    code: 'internal',
    origin: at,
    message: `Festoon itself failed in ${where} (${what}); everything else is served. Please report it, with this plan.`,
  });
}
