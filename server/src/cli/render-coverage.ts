import { type Coverage, WORD_CHECKS } from '../checks/coverage.ts';
import { count } from '../model/texts.ts';
import { type Line, styled } from './page.ts';
import { table } from './table.ts';

/** The checks that ran, with what they looked at, and those that were skipped, with the reason. */
export function renderCoverage(coverage: readonly Coverage[], width: number): Line[] {
  const rows = coverage.map(({ check, ran, count: size, what, why }) => [
    check.code,
    styled(check.level, check.level),
    ran
      ? `ran${size === undefined ? '' : ` on ${count(size, what ?? 'thing', pluralOf(what ?? 'thing'))}`}`
      : 'skipped',
    why ?? '',
  ]);
  const columns = [{ title: 'check' }, { title: 'level' }, { title: 'ran' }, { title: 'because', most: 70 }];
  return [
    ...table(columns, rows, width),
    [`and ${count(WORD_CHECKS, 'check')} of words, units and names, which run whenever a plan is read`],
    [],
  ];
}

function pluralOf(what: string): string {
  return what.endsWith('y') ? `${what.slice(0, -1)}ies` : `${what}s`;
}
