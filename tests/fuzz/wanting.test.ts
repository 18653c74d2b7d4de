import { afterAll, describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import type { Analysis } from '#server/analysis/analysis.ts';
import { applyEdits } from '#server/analysis/host.ts';
import type { Preview } from '#server/checks/check.ts';
import { CHECK_BY_CODE } from '#server/checks/registry.ts';
import { worsens } from '#server/checks/worsens.ts';
import type { Finding } from '#server/model/finding.ts';
import { analyseCold, hostOfText, MAIN } from '../support/fuzz/plan-host.ts';
import { casesOf, forCases, SEEDS } from '../support/fuzz/random.ts';
import { wantingPlan } from '../support/fuzz/wanting-plan.ts';

/** Codes and kinds of fixes that have to be among those tried. */
const WANTED = [
  ...['low-voltage', 'fuse-overloaded', 'port-pixels', 'supplies-meet', 'cable-too-short'],
  ...['address-overlap', 'address-range', 'Move the V+ cut', 'Inject', 'Renumber'],
];

/**
 * Over a thousand displays that are badly fed: each computed fix closes its finding, adds none, is not offered again, and
 * leaves a formatted plan formatted.
 */
const tried = new Map<string, number>();
let wanting = 0;

function isSame(a: Finding): (b: Finding) => boolean {
  return (b) => a.code === b.code && (a.subject === undefined ? a.message === b.message : a.subject === b.subject);
}

function holdAll(text: string, _: unknown, index: number): void {
  const host = hostOfText(text);
  const before = host.analyse(MAIN);
  let isCold = index % 4 === 0;
  for (const finding of before.findings) {
    if (CHECK_BY_CODE.get(finding.code)?.run === undefined) continue;
    wanting++;
    for (const fix of before.fixesOf(finding)) {
      const file = host.fileOf(MAIN);
      if (file === undefined) throw new Error('the plan is gone');
      const what = `"${fix.title}" for ${finding.code} of ${finding.subject}`;
      const made = applyEdits(file, fix.edits);
      holdOne(before, host.preview(MAIN, fix.edits), finding, what);
      // Read for the first time, the new text says the same.
      if (isCold) holdOne(before, analyseCold(made), finding, what);
      isCold = false;
      if (formatText(made) !== made) throw new Error(`${what} is not formatted: ${made}`);
      for (const kind of [finding.code, /^(Move the V\+ cut|Inject|Use|Renumber)/.exec(fix.title)?.[1] ?? 'other'])
        tried.set(kind, (tried.get(kind) ?? 0) + 1);
    }
  }
}

/** What is closed cannot be offered again: its fixes go with the finding. */
function holdOne(before: Analysis, after: Preview, finding: Finding, what: string): void {
  if (after.findings.some(isSame(finding))) throw new Error(`${what} leaves its finding`);
  // A fuse that its wire cannot stand comes first, even if the right one then carries too much, or resists a little more.
  if (finding.code !== 'fuse-too-large' && worsens(before.findings, after.findings))
    throw new Error(`${what} makes something worse`);
}

describe.each(SEEDS)('seed %i', (seed) => {
  it('fixes of displays that are badly fed keep their word', { timeout: 36_000_000 }, () => {
    const plans = casesOf(1_040);
    expect(forCases(seed, plans, (random) => formatText(wantingPlan(random)), holdAll)).toBe(plans);
  });
});

afterAll(() => {
  const kinds = [...tried].map(([code, times]) => `${code} ${times}`).join(', ');
  console.log(`${wanting} findings, fixes tried: ${kinds}`);
  for (const kind of WANTED) if (!tried.has(kind)) throw new Error(`no fix of ${kind} was tried`);
});
