import { CHECK_BY_CODE } from '../checks/registry.ts';

/** What a code means, as a page of Markdown; undefined for a code that there is none of. */
export function explainCode(code: string): string | undefined {
  const check = CHECK_BY_CODE.get(code);
  if (check === undefined) return undefined;
  return `# ${check.code}\n\n**${check.title}** (${check.level})\n\n${check.explanation.trim()}\n`;
}
