import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import { worsens } from '../checks/worsens.ts';
import type { Finding, Fix } from '../model/finding.ts';
import type { Steps } from '../model/steps.ts';
import { volts } from '../model/texts.ts';
import { cutAbove, cutJoints } from './cut-joints.ts';

/**
 * Suggests where to cut V+ so that two supplies no longer meet in a run: at each joint between two lines of the run the
 * cut is tried on the whole plan; offered are those that cure the meeting and make nothing else worse, the one that
 * leaves the highest least voltage first.
 */
export function* suggestCut(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const run = sure(ctx.plan.runs.get(sure(finding.subject)));
  const now = ctx.preview([]).findings;
  const found: { least: number; text: string; fix: Fix }[] = [];
  for (const joint of cutJoints(run)) {
    const { text } = joint;
    const edits = [cutAbove(joint)];
    yield;
    const after = ctx.preview(edits);
    const cured = !after.findings.some((other) => other.code === finding.code && other.subject === finding.subject);
    if (!cured || worsens(now, after.findings)) continue;
    const changed = [...after.account.runs.values()].find((other) => other.run.name === run.name);
    const least = sure(changed?.least).volts;
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
