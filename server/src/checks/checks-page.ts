import type { Check } from './check.ts';
import { CHECKS } from './registry.ts';

/**
 * The page of all codes, `grammar/CHECKS.md`, as Markdown: made from the registry by `npm run generate`, packed with the
 * extension, and where the code of a finding in the editor leads. It works without a network.
 */
export function checksPage(): string {
  return `${[...INTRODUCTION, ...CHECKS.map((check) => `- [${check.code}](#${check.code}): ${check.title}`), ''].join('\n')}
${CHECKS.map(section).join('\n')}`;
}

/** Line of the page, counted from 1, at which a code's section starts; the first line for a code that there is not. */
export function lineOfCode(code: string): number {
  lines ??= new Map(
    checksPage()
      .split('\n')
      .flatMap((line, index): [string, number][] => (line.startsWith('## ') ? [[line.slice(3), index + 1]] : [])),
  );
  return lines.get(code) ?? 1;
}

let lines: ReadonlyMap<string, number> | undefined;

const INTRODUCTION = [
  '# What Festoon finds',
  '',
  'This page is made from the registry of checks (`server/src/checks/registry.ts`) by `npm run generate`; change it there.',
  '',
  'An **error** is wrong or unsafe, a **warning** will work badly, an **information** is worth knowing. Festoon computes; it',
  'does not approve. Mains work is for a licensed electrician and local codes.',
  '',
  'A finding that is known and left as it is can be accepted in the plan, with a reason:',
  '`accept low-voltage  of eaves  because "stays at 30 % all season"`. What can hurt somebody stays in sight all the same.',
  '',
];

function section({ code, level, title, explanation, hazard }: Check): string {
  const hurts = hazard === true ? ' It can hurt somebody: a plan that accepts it still shows it.' : '';
  return `## ${code}\n\n**${title}** (${level}).${hurts}\n\n${explanation}\n`;
}
