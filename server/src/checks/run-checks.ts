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
  const found = [nominal, ...others.map((other) => runChecks(checks, { plan, account: other, claims }, at))];
  const keyOf = keysAmong(found);
  const worst = new Map<string, Finding>();
  for (const [index, findings] of found.entries()) {
    const corner = index === 0 ? undefined : corners[index - 1]?.name;
    for (const finding of findings) {
      const before = worst.get(keyOf(finding));
      if (before !== undefined && (finding.excess ?? 0) <= (before.excess ?? 0) + 1e-9) continue;
      const message = corner === undefined ? finding.message : `${finding.message} Worst corner: ${corner}.`;
      worst.set(keyOf(finding), { ...finding, message });
    }
  }
  return [...worst.values()];
}

/**
 * What tells the same finding at other corners: what it is about, since the worst place of a run may be another one there.
 * Where one corner alone has several about the same thing, their places tell them apart, and where these are the same as
 * well, the other places that they point to.
 */
function keysAmong(found: readonly (readonly Finding[])[]): (finding: Finding) => string {
  const declarations = new Map<unknown, number>();
  const placeOf = ({ declaration, start }: Origin) => {
    const number = declarations.get(declaration) ?? declarations.size;
    declarations.set(declaration, number);
    return `at ${number} ${start}`;
  };
  const about = (finding: Finding) => `${finding.code} ${finding.subject ?? placeOf(finding.origin)}`;
  const at = (finding: Finding) => `${about(finding)} ${placeOf(finding.origin)}`;
  const beside = (finding: Finding) => [at(finding), ...finding.related.map(({ origin }) => placeOf(origin))].join();
  const [severalAbout, severalAt] = [twiceAtOnce(found, about), twiceAtOnce(found, at)];
  return (finding) => {
    if (!severalAbout.has(about(finding))) return about(finding);
    return severalAt.has(at(finding)) ? beside(finding) : at(finding);
  };
}

/** The keys that more than one finding of a corner has. */
function twiceAtOnce(found: readonly (readonly Finding[])[], keyOf: (finding: Finding) => string): Set<string> {
  const several = new Set<string>();
  for (const findings of found) {
    const seen = new Set<string>();
    for (const key of findings.map(keyOf)) {
      if (seen.has(key)) several.add(key);
      seen.add(key);
    }
  }
  return several;
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
