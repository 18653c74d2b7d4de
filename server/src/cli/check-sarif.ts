import { sure } from '#grammar/sure.ts';
import { CHECK_BY_CODE } from '../checks/registry.ts';
import { VERSION } from '../model/version.ts';
import type { CheckedPlan } from './check-json.ts';
import type { PlacedFinding } from './findings.ts';
import type { NameOf } from './render-findings.ts';
import type { UnreadFile } from './workspace.ts';

/** What `check --format sarif` prints: a log of the Static Analysis Results Interchange Format 2.1.0 (OASIS). */
export function checkSarif(plans: readonly CheckedPlan[], unread: readonly UnreadFile[]): object {
  const codes = [...new Set(plans.flatMap(({ findings }) => findings.map(({ finding }) => finding.code)))].sort();
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'Festoon', version: VERSION, rules: codes.map(ruleOf) } },
        columnKind: 'utf16CodeUnits',
        invocations: [
          {
            executionSuccessful: unread.length === 0,
            toolExecutionNotifications: unread.map(({ name, reason }) => ({
              level: 'error',
              message: { text: `${name} ${reason}.` },
              locations: [{ physicalLocation: { artifactLocation: { uri: uriOf(name) } } }],
            })),
          },
        ],
        results: plans.flatMap(({ findings, nameOf }) => findings.map((finding) => resultOf(finding, nameOf, codes))),
      },
    ],
  };
}

function ruleOf(code: string): object {
  const { title, explanation, level } = sure(CHECK_BY_CODE.get(code));
  return {
    id: code,
    shortDescription: { text: title },
    fullDescription: { text: explanation },
    defaultConfiguration: { level: LEVELS[level] },
  };
}

function resultOf({ finding, level, file, place, related }: PlacedFinding, nameOf: NameOf, codes: readonly string[]) {
  const location = (uri: string, at: PlacedFinding['place']) => ({
    physicalLocation: {
      artifactLocation: { uri: uriOf(nameOf(uri)) },
      region: { startLine: at.line, startColumn: at.column, endLine: at.endLine, endColumn: at.endColumn },
    },
  });
  return {
    ruleId: finding.code,
    ruleIndex: codes.indexOf(finding.code),
    level: LEVELS[level],
    message: { text: finding.message },
    locations: [location(file.uri, place)],
    relatedLocations: related.map((other) => ({
      ...location(other.file.uri, other.place),
      message: { text: other.message },
    })),
  };
}

const LEVELS = { error: 'error', warning: 'warning', information: 'note' } as const;

/** A path as a relative reference of RFC 3986. */
function uriOf(name: string): string {
  return name.split(/[/\\]/).map(encodeURIComponent).join('/');
}
