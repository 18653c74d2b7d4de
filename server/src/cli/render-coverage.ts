import { type Coverage, lookedAt, WORD_CHECKS } from '../checks/coverage.ts';
import { count } from '../model/texts.ts';
import { type Line, styled } from './page.ts';
import { table } from './table.ts';

/** The checks that ran, with what they looked at, and those that were skipped, with the reason. */
export function renderCoverage(coverage: readonly Coverage[], width: number): Line[] {
  const rows = coverage.map((each) => {
    const size = lookedAt(each);
    const ran = size === undefined ? 'ran' : `ran on ${size}`;
    return [each.check.code, styled(each.check.level, each.check.level), each.ran ? ran : 'skipped', each.why ?? ''];
  });
  const columns = [{ title: 'check' }, { title: 'level' }, { title: 'ran' }, { title: 'because', most: 70 }];
  return [
    ...table(columns, rows, width),
    [`and ${count(WORD_CHECKS, 'check')} of words, units and names, which run whenever a plan is read`],
    [],
  ];
}
