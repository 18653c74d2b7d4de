import type { Coverage } from '../checks/coverage.ts';
import { VERSION } from '../model/version.ts';
import type { PlacedAccepted } from './accepted.ts';
import { countLevels, type PlacedFinding } from './findings.ts';
import type { NameOf } from './render-findings.ts';
import type { Report } from './report.ts';
import type { UnreadFile } from './workspace.ts';

/** What `check --format json` prints; described by schema/check.schema.json, whose version changes with its meaning. */
export function checkJson(plans: readonly CheckedPlan[], unread: readonly UnreadFile[]): object {
  return {
    format: 'festoon-check',
    version: 1,
    festoon: VERSION,
    plans: plans.map(({ name, nameOf, findings, accepted, coverage, report }) => ({
      file: name,
      title: report.plan.design.title,
      counts: countLevels(findings),
      findings: findings.map((finding) => findingJson(finding, nameOf)),
      accepted: accepted.map((each) => ({ reason: each.reason, ...findingJson(each.placed, nameOf) })),
      checks: coverage?.map(({ check, ran, count, what, why }) => ({
        code: check.code,
        level: check.level,
        ran,
        count,
        what,
        why,
      })),
      totals: {
        pixels: report.totals.pixels,
        runs: report.runs.length,
        watts: report.totals.watts,
        mainsWatts: report.totals.mainsWatts,
        mainsVoltAmperes: report.totals.mainsVoltAmperes,
      },
    })),
    unread: unread.map(({ name, trouble, reason }) => ({ file: name, code: trouble, message: `${name} ${reason}.` })),
  };
}

export interface CheckedPlan {
  readonly name: string;
  readonly nameOf: NameOf;
  readonly findings: readonly PlacedFinding[];
  readonly accepted: readonly PlacedAccepted[];
  /** Only where it is asked for. */
  readonly coverage: readonly Coverage[] | undefined;
  readonly report: Report;
}

function findingJson({ finding, level, file, place, related }: PlacedFinding, nameOf: NameOf): object {
  return {
    code: finding.code,
    level,
    message: finding.message,
    file: nameOf(file.uri),
    ...place,
    related: related.map((other) => ({ message: other.message, file: nameOf(other.file.uri), ...other.place })),
  };
}
