import type { Finding } from '../model/finding.ts';

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
  const known = byBlame(before);
  for (const [key, now] of byBlame(after)) {
    const then = known.get(key) ?? [];
    if (now.length > then.length || errorsOf(now) > errorsOf(then)) return true;
    if (worstOf(now) > worstOf(then) + NOTICEABLE) return true;
  }
  return false;
}

/** What each subject is blamed for by each code. */
function byBlame(findings: readonly Finding[]): Map<string, Finding[]> {
  const blames = new Map<string, Finding[]>();
  for (const finding of findings) {
    const key = `${finding.code} ${finding.subject ?? ''}`;
    const alike = blames.get(key);
    // A text that is no plan has a hundred thousand of a kind.
    if (alike === undefined) blames.set(key, [finding]);
    else alike.push(finding);
  }
  return blames;
}

function errorsOf(findings: readonly Finding[]): number {
  return findings.filter(({ level }) => level === 'error').length;
}

/** How far beyond its limit the worst of them lies. */
function worstOf(findings: readonly Finding[]): number {
  return findings.reduce((worst, { excess = 0 }) => Math.max(worst, excess), 0);
}
