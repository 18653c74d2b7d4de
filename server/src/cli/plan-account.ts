import { sure } from '#grammar/sure.ts';
import { type Analysis, levelOf } from '../analysis/analysis.ts';
import { changesOf } from '../analysis/changed-lines.ts';
import { hides, type Unlooked, unlookedIn } from '../analysis/unlooked.ts';
import { exceeds } from '../checks/limits.ts';
import type { Finding } from '../model/finding.ts';
import { amps, count, metres, rating, share, volts } from '../model/texts.ts';
import { compareDisplayCosts } from '../planning/display-cost.ts';
import type { DisplayPlan } from '../planning/plan-display.ts';
import { nothingText, proofText } from '../planning/proof-text.ts';
import { cautions } from './cautions.ts';
import { type Line, styled, wrap } from './page.ts';
import { type Report, reportOf } from './report.ts';
import { type Row, table } from './table.ts';

/** A proposal beside the plan that it is made for. */
export interface PlanAccount {
  readonly before: Analysis;
  readonly after: Analysis;
  readonly proposed: DisplayPlan;
  readonly files: readonly ChangedFile[];
}

export interface ChangedFile {
  readonly uri: string;
  /** As the person would name it. */
  readonly name: string;
  readonly before: string;
  readonly after: string;
}

export function planPage(account: PlanAccount, width: number): Line[] {
  const { proposed, files } = account;
  const [before, after] = [reportOf(account.before), reportOf(account.after)];
  const open: Line[] = proposed.open.flatMap(({ run, reason }) =>
    wrap(`${run} stays wanting: ${reason}.`, width).map((text): Line => [styled(text, 'warning')]),
  );
  const unlooked = unlookedIn(account.after);
  if (proposed.steps.length === 0) {
    const text = nothingText(proposed, unlooked.length > 0);
    const left = otherFindings(account.after).length > 0 ? [[], ...leftLines(account, width)] : [];
    const unseen = unlooked.length > 0 ? [[], ...unlookedLines(unlooked, width)] : [];
    return [[text], ...open, ...unseen, ...left];
  }
  const sections: Line[][] = [
    proposed.steps.map(({ subject, title }): Line => [styled(subject, 'strong'), `  ${title}`]),
    open,
    unlookedLines(unlooked, width),
    files.flatMap(changedLines),
    runRows(before, after, width),
    routeRows(before, after, width),
    supplyRows(before, after, width),
    leftLines(account, width),
    [[copperText(before, after)], ...wrap(proofText(proposed, unlooked.length > 0), width).map((text): Line => [text])],
    cautions(width),
  ];
  return sections.filter((lines) => lines.length > 0).flatMap((lines, index) => (index === 0 ? lines : [[], ...lines]));
}

/** What the plan may want besides, for all that is known. */
function unlookedLines(unlooked: readonly Unlooked[], width: number): Line[] {
  if (unlooked.length === 0) return [];
  const rows = unlooked
    .slice(0, MOST_SHOWN)
    .flatMap(({ about, reason }, index): Line[] => [
      ...(about === unlooked[index - 1]?.about ? [] : [['  ', styled(about, 'strong')]]),
      ...wrap(reason, width - 4).map((text): Line => [`    ${text}`]),
    ]);
  return [[styled('Not looked at', 'warning')], ...rows, ...andMore(unlooked.length, 'more of them', 'more of them')];
}

/** How many are not shown. */
function andMore(all: number, one: string, many?: string): Line[] {
  const more = all - MOST_SHOWN;
  return more > 0 ? [[`  … and ${count(more, one, many)}.`]] : [];
}

/** What the plan still says when all that is proposed stands in it: errors and warnings, the worst first. */
function leftLines({ after, files }: PlanAccount, width: number): Line[] {
  const left = otherFindings(after);
  if (left.length === 0) return [['Nothing else is wrong with the plan then.']];
  const shown = left.slice(0, MOST_SHOWN).flatMap((finding): Line[] => {
    const level = levelOf(finding);
    const [head = '', ...more] = wrap(finding.message, width - 4);
    return [
      ['  ', styled(level, level), '  ', styled(finding.code, 'faint')],
      [`    ${head}`],
      ...more.map((text): Line => [`    ${text}`]),
    ];
  });
  return [
    [styled('Still wrong then', 'strong')],
    ...shown,
    ...andMore(left.length, 'more finding'),
    ...wrap(`See them in place: festoon check ${files[0]?.name ?? 'PLAN'}`, width).map((text): Line => [text]),
  ];
}

const MOST_SHOWN = 8;

function findingsLeft({ findings }: Analysis): Finding[] {
  const rank = (finding: Finding) => ['error', 'warning', 'information'].indexOf(levelOf(finding));
  return findings.filter((finding) => rank(finding) < 2).sort((a, b) => rank(a) - rank(b));
}

/** Without what is said already of what could not be looked at. */
function otherFindings(analysis: Analysis): Finding[] {
  return findingsLeft(analysis).filter((finding) => !hides(finding));
}

/** The lines of a file that go and those that come, in their order, below its name. */
function changedLines({ name, before, after }: ChangedFile): Line[] {
  const bare = (line: string) => line.replace(/[\r\n]+$/, '');
  return [
    [styled(name, 'faint')],
    ...changesOf(before, after).flatMap(({ gone, come }) => [
      ...gone.map((line): Line => [styled(`  - ${bare(line)}`, 'warning')]),
      ...come.map((line): Line => [styled(`  + ${bare(line)}`, 'good')]),
    ]),
  ];
}

function runRows(before: Report, after: Report, width: number): Line[] {
  const rows = after.runs.map(({ run, account, needs }): Row => {
    const then = before.runs.find((other) => other.run.name === run.name)?.account?.least?.volts;
    const now = account?.least?.volts;
    const isLow = now !== undefined && needs !== undefined && exceeds(needs, now);
    return [
      `  ${run.name}`,
      then === undefined ? '?' : volts(then),
      now === undefined ? '?' : styled(volts(now), isLow ? 'warning' : 'good'),
      needs === undefined ? '' : volts(needs),
      String(tapsOn(before, run.name)),
      String(tapsOn(after, run.name)),
    ];
  });
  return table(
    [
      { title: styled('Runs', 'strong'), most: 30 },
      { title: 'least before', align: 'right' },
      { title: 'after', align: 'right' },
      { title: 'needs', align: 'right' },
      { title: 'taps before', align: 'right' },
      { title: 'after', align: 'right' },
    ],
    rows,
    width,
  );
}

function tapsOn(report: Report, run: string): number {
  return report.feeds.reduce((sum, { taps }) => sum + taps.filter(({ tap }) => tap.tap.run.name === run).length, 0);
}

function routeRows(before: Report, after: Report, width: number): Line[] {
  const rows = after.routes.flatMap(({ route, cables }, index): Row[] => {
    if (route.most === undefined) return [];
    const name = `  ${route.from.name} to ${route.to.name}`;
    return [[name, String(sure(before.routes[index]).cables), String(cables), String(route.most)]];
  });
  return table(
    [
      { title: styled('Limited routes', 'strong'), most: 44 },
      { title: 'cables before', align: 'right' },
      { title: 'after', align: 'right' },
      { title: 'limit', align: 'right' },
    ],
    rows,
    width,
  );
}

function supplyRows(before: Report, after: Report, width: number): Line[] {
  const rows = after.supplies.map(({ supply, account, rated, share: used }): Row => {
    const then = before.supplies.find((other) => other.supply.name === supply.name)?.account?.amps;
    return [
      `  ${supply.name}`,
      then === undefined ? '?' : amps(then),
      account === undefined ? '?' : amps(account.amps),
      rated === undefined ? '' : `of ${rating(rated)}`,
      used === undefined ? '' : share(used),
    ];
  });
  return table(
    [
      { title: styled('Supplies', 'strong'), most: 30 },
      { title: 'before', align: 'right' },
      { title: 'after', align: 'right' },
      {},
      { title: 'share', align: 'right' },
    ],
    rows,
    width,
  );
}

/** m of cable in all feeds and to all boards, doubled ones twice. */
function feedMetres({ feeds, plan }: Report): number {
  const pieces = feeds.flatMap(({ feed }) => feed.pieces.flatMap((piece) => (piece.kind === 'cable' ? [piece] : [])));
  return [...pieces, ...plan.boards.values()].reduce((sum, { length, parallel }) => sum + length * parallel, 0);
}

function copperText(before: Report, after: Report): string {
  const { units } = after.plan.design;
  const text = (length: number) => (length === 0 ? 'none' : metres(length, units));
  return `Cable of all feeds and boards: ${text(feedMetres(before))} before, ${text(feedMetres(after))} after.`;
}

export function planJson({ before, after, proposed, files }: PlanAccount): unknown {
  const [then, now] = [reportOf(before), reportOf(after)];
  const unlooked = unlookedIn(after);
  return {
    steps: proposed.steps,
    wanting: proposed.open,
    notLookedAt: unlooked,
    findingsLeft: findingsLeft(after).map((finding) => ({
      code: finding.code,
      level: levelOf(finding),
      about: finding.subject,
      message: finding.message,
    })),
    runs: now.runs.map(({ run, account, needs }) => ({
      name: run.name,
      needsVolts: needs,
      leastVoltsBefore: then.runs.find((other) => other.run.name === run.name)?.account?.least?.volts,
      leastVoltsAfter: account?.least?.volts,
      tapsBefore: tapsOn(then, run.name),
      tapsAfter: tapsOn(now, run.name),
    })),
    routes: now.routes.map(({ route, cables }, index) => ({
      from: route.from.name,
      to: route.to.name,
      limit: route.most,
      cablesBefore: then.routes[index]?.cables,
      cablesAfter: cables,
    })),
    supplies: now.supplies.map(({ supply, account, rated }) => ({
      name: supply.name,
      ratedAmps: rated,
      ampsBefore: then.supplies.find((other) => other.supply.name === supply.name)?.account?.amps,
      ampsAfter: account?.amps,
    })),
    feedMetresBefore: feedMetres(then),
    feedMetresAfter: feedMetres(now),
    cost: proposed.cost,
    materialIn: proposed.currency ?? 'm3 of copper',
    bound: proposed.bound,
    isProven: unlooked.length === 0 && compareDisplayCosts(proposed.cost, proposed.bound) <= 0,
    files: files.map(({ name, after: text }) => ({ name, text })),
  };
}
