import { count } from '../model/texts.ts';
import { type Comparison, isEmpty } from '../review/compare.ts';
import { printable } from './printable.ts';
import { nameOf, SECTION_TITLES } from './render-comparison.ts';

/** For a pull request: nothing at all where nothing changes, else a line that says it all and tables that unfold. */
export function comparisonMarkdown(title: string, comparison: Comparison): string {
  if (isEmpty(comparison)) return '';
  const { sections, newFindings, goneFindings } = comparison;
  const lines = [`### ${plain(title)}: what this change does`, '', `**${headline(comparison)}**`, ''];
  for (const finding of newFindings) lines.push(`- **${finding.level}** \`${finding.code}\` ${plain(finding.message)}`);
  if (newFindings.length > 0) lines.push('');
  if (goneFindings.length > 0)
    lines.push(
      ...folded(
        `${count(goneFindings.length, 'finding')} gone`,
        goneFindings.map(({ code, message }) => `- \`${code}\` ${plain(message)}`),
      ),
    );
  for (const { section, changes } of sections) {
    const rows = changes.map(
      (change) =>
        `| ${plain(nameOf(change))} | ${plain(change.before?.text ?? '–')} | ${plain(change.after?.text ?? 'gone')}${arrow(change.verdict)} |`,
    );
    lines.push(
      ...folded(`${SECTION_TITLES[section]}: ${count(changes.length, 'change')}`, [
        '| | before | after |',
        '|---|---|---|',
        ...rows,
      ]),
    );
  }
  return `${lines.join('\n')}\n`;
}

function headline({ newFindings, goneFindings, sections }: Comparison): string {
  const errors = newFindings.filter(({ level }) => level === 'error').length;
  const parts = [
    newFindings.length === 0
      ? 'No new finding'
      : `${count(newFindings.length, 'new finding')}${errors > 0 ? ` (${count(errors, 'error')})` : ''}`,
    ...(goneFindings.length === 0 ? [] : [`${goneFindings.length} gone`]),
    ...(sections.find(({ section }) => section === 'display')?.changes ?? []).map(
      ({ what, before, after }) => `${what} ${before?.text ?? '–'} → ${after?.text ?? '–'}`,
    ),
  ];
  return plain(`${parts.join('; ')}.`);
}

const arrow = (verdict: 'better' | 'worse' | undefined) =>
  verdict === undefined ? '' : verdict === 'better' ? ' (better)' : ' (worse)';

function folded(summary: string, lines: readonly string[]): string[] {
  return [`<details><summary>${plain(summary)}</summary>`, '', ...lines, '', '</details>', ''];
}

/** Nothing to see; whatever looks for names and addresses in the finished text does not see past it. */
const UNSEEN = '&#8203;';

/**
 * Text from a plan that stays text: no link, no image, no tag, no mention, no number of an issue. The last two are looked
 * for where marks are already undone (common practice of hosts of pull requests, from memory).
 */
function plain(text: string): string {
  return printable(text)
    .replace(/[\\`*_{}[\]()#+!|~-]/g, (sign) =>
      sign === '-' || sign === '(' || sign === ')' || sign === '+' ? sign : `\\${sign}`,
    )
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('@', `&#64;${UNSEEN}`)
    .replace(/\\#(?=\d)/g, `\\#${UNSEEN}`)
    .replace(/www\./gi, (start) => `${start.slice(0, -1)}${UNSEEN}.`)
    .replaceAll('://', `:${UNSEEN}//`);
}
