import type { Finding } from '../model/finding.ts';

/** What one subject is blamed for by one code: how often, how severely, and how far beyond the limit at the worst. */
interface Blame {
  times: number;
  errors: number;
  excess: number;
}

/**
 * Less than this share of a limit is no reason to hold an edit back: what lifts the voltage of one run lifts the current
 * of its neighbours a little.
 */
export const NOTICEABLE = 0.01;

/**
 * Is anything worse in a plan after an edit: a finding that was not there, one that became an error, or one that lies
 * further beyond its limit? Findings are told apart by code and subject.
 */
export function worsens(before: readonly Finding[], after: readonly Finding[]): boolean {
  const blames = blamesOf(before);
  for (const [key, now] of blamesOf(after)) {
    const then = blames.get(key);
    if (then === undefined || now.times > then.times || now.errors > then.errors) return true;
    if (now.excess > then.excess + NOTICEABLE) return true;
  }
  return false;
}

function blamesOf(findings: readonly Finding[]): Map<string, Blame> {
  const blames = new Map<string, Blame>();
  for (const { code, subject, level, excess } of findings) {
    const key = `${code} ${subject ?? ''}`;
    const blame = blames.get(key) ?? { times: 0, errors: 0, excess: 0 };
    blame.times++;
    if (level === 'error') blame.errors++;
    blame.excess = Math.max(blame.excess, excess ?? 0);
    blames.set(key, blame);
  }
  return blames;
}
