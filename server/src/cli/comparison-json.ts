import { VERSION } from '../model/version.ts';
import type { Comparison } from '../review/compare.ts';
import type { KeyedFinding } from '../review/facts.ts';

/** What `diff --format json` prints; described by schema/diff.schema.json, whose version changes with its meaning. */
export function comparisonJson(before: string, after: string, comparison: Comparison): object {
  return {
    format: 'festoon-diff',
    version: 1,
    festoon: VERSION,
    before,
    after,
    newFindings: comparison.newFindings.map(findingJson),
    goneFindings: comparison.goneFindings.map(findingJson),
    changes: comparison.sections.flatMap(({ section, changes }) =>
      changes.map((change) => ({
        section,
        subject: change.subject,
        what: change.what,
        before: change.before?.value,
        after: change.after?.value,
        beforeText: change.before?.text,
        afterText: change.after?.text,
        verdict: change.verdict,
      })),
    ),
  };
}

function findingJson({ code, level, message }: KeyedFinding): object {
  return { code, level, message };
}
