import type { SuggestContext } from '../checks/check.ts';
import { worsens } from '../checks/worsens.ts';
import type { Finding, Fix, Origin } from '../model/finding.ts';
import type { Run } from '../model/plan.ts';
import { volts } from '../model/texts.ts';
import { finish, type Steps } from './steps.ts';

/**
 * Suggests where to cut V+ so that two supplies no longer meet in a run: at each joint between two lines of the run the
 * cut is tried on the whole plan; offered are those that cure the meeting and make nothing else worse, the one that
 * leaves the highest least voltage first.
 */
export function suggestCut(ctx: SuggestContext, finding: Finding): readonly Fix[] {
  return finish(cutSteps(ctx, finding));
}

/** The same in steps. */
export function* cutSteps(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const run = ctx.plan.runs.get(finding.subject ?? '');
  if (run === undefined) return [];
  const now = ctx.preview([]).findings;
  const found: { least: number; text: string; fix: Fix }[] = [];
  for (const { origin, text } of joints(run)) {
    // In the column of the line that it stands above.
    const column = /^\S+[ \t]+/.exec(origin.declaration.text.slice(origin.start))?.[0].length ?? 0;
    const edits = [{ origin, text: `${'cut'.padEnd(column - 1)} V+\n  ` }];
    yield;
    const after = ctx.preview(edits);
    const cured = !after.findings.some((other) => other.code === finding.code && other.subject === finding.subject);
    if (!cured || worsens(now, after.findings)) continue;
    const least = [...after.account.runs.values()].find((other) => other.run.name === run.name)?.least?.volts ?? 0;
    found.push({
      least,
      text,
      fix: { title: `Cut V+ before ${text}: least ${volts(least)}`, edits, preferred: false },
    });
  }
  return found
    .sort((a, b) => b.least - a.least)
    .slice(0, 3)
    .map(({ fix }, index) => ({ ...fix, preferred: index === 0 }));
}

/** The starts of all lines of a run but the first string's; a cut is a line of its own. */
function joints(run: Run): { origin: Origin; text: string }[] {
  const found: { origin: Origin; text: string }[] = [];
  const seen = new Set<number>();
  for (const piece of run.pieces) {
    if (piece.kind === 'lead' || piece.kind === 'cut') continue;
    const { text } = piece.origin.declaration;
    let start = piece.origin.start;
    while (start > 0 && text[start - 1] !== '\n' && text[start - 1] !== '\r') start--;
    while (text[start] === ' ' || text[start] === '\t') start++;
    // Props are shared: their lines stand elsewhere, and a cut there would cut every copy.
    if (seen.has(start) || piece.origin.declaration !== run.origin.declaration) continue;
    seen.add(start);
    if (piece.kind === 'string') {
      const name = piece.copies?.name ?? piece.element ?? `pixel ${piece.first}`;
      found.push({ origin: { ...piece.origin, start, end: start }, text: name });
    }
  }
  return found.slice(1, 24);
}
