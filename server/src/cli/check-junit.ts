import type { CheckedPlan } from './check-json.ts';
import type { PlacedFinding } from './findings.ts';
import { printable } from './printable.ts';
import type { NameOf } from './render-findings.ts';
import type { UnreadFile } from './workspace.ts';

/**
 * What `check --format junit` prints: a test suite for each plan, a failed case for each error or warning, and one that
 * passed where there is none. Readers of this format differ; this is what they have in common.
 */
export function checkJunit(plans: readonly CheckedPlan[], unread: readonly UnreadFile[]): string {
  const suites = [
    ...unread.map(({ name, reason }) => suite(name, [failure('unread', name, `${name} ${reason}.`)])),
    ...plans.map(({ name, nameOf, findings }) => {
      const cases = findings.filter(({ level }) => level !== 'information').map((finding) => failed(finding, nameOf));
      return suite(name, cases);
    }),
  ];
  return `<?xml version="1.0" encoding="UTF-8"?>\n<testsuites name="festoon">\n${suites.join('\n')}\n</testsuites>\n`;
}

function suite(name: string, failures: readonly string[]): string {
  const cases = failures.length > 0 ? failures : [`    <testcase name="no findings" classname="${escaped(name)}"/>`];
  return `  <testsuite name="${escaped(name)}" tests="${cases.length}" failures="${failures.length}" errors="0" skipped="0">
${cases.join('\n')}
  </testsuite>`;
}

function failed({ finding, file, place }: PlacedFinding, nameOf: NameOf): string {
  const at = `${nameOf(file.uri)}:${place.line}:${place.column}`;
  return failure(finding.code, at, finding.message);
}

function failure(code: string, at: string, message: string): string {
  return `    <testcase name="${escaped(`${code} at ${at}`)}" classname="${escaped(code)}">
      <failure type="${escaped(code)}" message="${escaped(message)}">${escaped(`${at}: ${message}`)}</failure>
    </testcase>`;
}

function escaped(text: string): string {
  return printable(text)
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}
