import { expect } from 'vitest';
import type { Analysis } from '#server/analysis/analysis.ts';
import type { Host } from '#server/analysis/host.ts';
import { worsens } from '#server/checks/worsens.ts';
import type { Finding, Fix } from '#server/model/finding.ts';

/** Tries a fix: its finding is gone, and nothing is worse. Gives what is found then. */
export function expectToCure(
  { analysis, host }: { readonly analysis: Analysis; readonly host: Host },
  finding: Finding,
  { title, edits }: Pick<Fix, 'title' | 'edits'>,
): readonly Finding[] {
  const after = host.preview(analysis.uri, edits).findings;
  expect(
    after.filter((other) => isSame(other, finding)),
    title,
  ).toEqual([]);
  expect(worsens(analysis.findings, after), title).toBe(false);
  return after;
}

/** A run and a feed may go by one name. */
function isSame(a: Finding, b: Finding): boolean {
  if (a.code !== b.code) return false;
  if (a.subject === undefined) return a.message === b.message;
  return a.subject === b.subject && keywordOf(a) === keywordOf(b);
}

function keywordOf({ origin }: Finding): string | undefined {
  return /^\S+/.exec(origin.declaration.text)?.[0];
}
