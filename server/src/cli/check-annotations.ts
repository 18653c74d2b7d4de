import type { CheckedPlan } from './check-json.ts';
import { printable } from './printable.ts';
import type { UnreadFile } from './workspace.ts';

/**
 * What `check --format github` prints: workflow commands, which become annotations on the lines of a pull request. Whatever
 * comes from a plan is escaped, so that it cannot end a command and begin another.
 */
export function checkAnnotations(plans: readonly CheckedPlan[], unread: readonly UnreadFile[]): string {
  const lines = unread.map(({ name, reason }) => `::error file=${property(name)}::${data(`${name} ${reason}.`)}`);
  for (const { findings, nameOf } of plans) {
    for (const { finding, level, file, place } of findings) {
      const at = [
        `file=${property(nameOf(file.uri))}`,
        `line=${place.line}`,
        `endLine=${place.endLine}`,
        `col=${place.column}`,
        `endColumn=${place.endColumn}`,
        `title=${property(finding.code)}`,
      ];
      lines.push(`::${COMMANDS[level]} ${at.join(',')}::${data(finding.message)}`);
    }
  }
  return lines.map((line) => `${line}\n`).join('');
}

const COMMANDS = { error: 'error', warning: 'warning', information: 'notice' } as const;

function data(text: string): string {
  return printable(text).replaceAll('%', '%25').replaceAll('\r', '%0D').replaceAll('\n', '%0A');
}

function property(text: string): string {
  return data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}
