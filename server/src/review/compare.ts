import { type Fact, SECTIONS, type Section } from './fact.ts';
import type { Facts, KeyedFinding } from './facts.ts';

/** What a change of the plan does, in consequences instead of lines. */
export interface Comparison {
  readonly sections: readonly { readonly section: Section; readonly changes: readonly Change[] }[];
  readonly newFindings: readonly KeyedFinding[];
  readonly goneFindings: readonly KeyedFinding[];
}

export interface Change {
  readonly subject: string;
  readonly what: string;
  /** Absent on the side where the thing does not exist. */
  readonly before: Fact | undefined;
  readonly after: Fact | undefined;
  readonly verdict: 'better' | 'worse' | undefined;
}

/** Facts whose texts read the same have not changed: less than what is shown is not a consequence. */
export function compare(before: Facts, after: Facts): Comparison {
  const keys = [...new Set([...after.facts.keys(), ...before.facts.keys()])];
  const changes = keys.flatMap((key): (Change & { section: Section })[] => {
    const [old, now] = [before.facts.get(key), after.facts.get(key)];
    const either = now ?? old;
    if (either === undefined || old?.text === now?.text) return [];
    return [
      {
        section: either.section,
        subject: either.subject,
        what: either.what,
        before: old,
        after: now,
        verdict: verdictOf(old, now),
      },
    ];
  });
  const keysOf = (findings: readonly KeyedFinding[]) => new Set(findings.map(({ key }) => key));
  const [old, now] = [keysOf(before.findings), keysOf(after.findings)];
  return {
    sections: SECTIONS.flatMap((section) => {
      const here = changes.filter((change) => change.section === section);
      return here.length === 0 ? [] : [{ section, changes: here }];
    }),
    newFindings: after.findings.filter(({ key }) => !old.has(key)),
    goneFindings: before.findings.filter(({ key }) => !now.has(key)),
  };
}

export function isEmpty({ sections, newFindings, goneFindings }: Comparison): boolean {
  return sections.length === 0 && newFindings.length === 0 && goneFindings.length === 0;
}

function verdictOf(before: Fact | undefined, after: Fact | undefined): Change['verdict'] {
  if (before === undefined || after === undefined || after.better === undefined || isSame(before, after))
    return undefined;
  return after.value > before.value === (after.better === 'more') ? 'better' : 'worse';
}

/** Less than this part of a value is how the solver rounds. */
const ROUNDING = 1e-6;

const isSame = (before: Fact, after: Fact) =>
  Math.abs(before.value - after.value) <= ROUNDING * Math.max(Math.abs(before.value), Math.abs(after.value));
