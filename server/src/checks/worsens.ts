import type { Finding } from '../model/finding.ts';

/** Does a plan after an edit have a finding that it did not have before? Findings are told apart by code and subject. */
export function worsens(before: readonly Finding[], after: readonly Finding[]): boolean {
  const counts = countByKey(before);
  for (const [key, times] of countByKey(after)) if (times > (counts.get(key) ?? 0)) return true;
  return false;
}

function countByKey(findings: readonly Finding[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { code, subject } of findings) {
    const key = `${code} ${subject ?? ''}`;
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  return counts;
}
