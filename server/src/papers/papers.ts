import type { Analysis } from '../analysis/analysis.ts';
import { finish, type Steps } from '../model/steps.ts';
import { addressTable } from './address-table.ts';
import { boxes } from './boxes.ts';
import { checkedPaper } from './checked.ts';
import { cutList } from './cut-list.ts';
import { site, wiring } from './drawn.ts';
import { expectedVolts } from './expected-volts.ts';
import { faultTable } from './fault-table.ts';
import { mastPaper } from './mast-paper.ts';
import { orderOfWork } from './order-of-work.ts';
import type { Paper } from './paper.ts';
import { partsList } from './parts-list.ts';
import { powerChecks } from './power-checks.ts';
import { seasonPaper } from './season-paper.ts';
import { summary } from './summary.ts';

/** All papers of a display, in the order in which the work needs them; those that are drawn can be left out. */
export function papersOf(analysis: Analysis, isDrawn = true): Paper[] {
  return finish(paperSteps(analysis, isDrawn));
}

/** The same in steps, a paper each. */
export function* paperSteps(analysis: Analysis, isDrawn = true): Steps<Paper[]> {
  const { plan, account } = analysis;
  const makers: readonly (() => readonly Paper[])[] = [
    () => [summary(analysis)],
    () => [partsList(plan)],
    () => [cutList(plan)],
    () => [boxes(plan, account)],
    () => (isDrawn ? [wiring(analysis), site(analysis)] : []),
    () => [addressTable(plan)],
    () => [orderOfWork(plan)],
    () => [powerChecks(plan, account)],
    () => [expectedVolts(plan, account)],
    () => [faultTable(plan, account)],
    () => seasonPaper(plan, account),
    () => mastPaper(plan),
    () => [checkedPaper(analysis)],
  ];
  const papers: Paper[] = [];
  for (const make of makers) {
    papers.push(...make());
    yield;
  }
  return papers;
}
