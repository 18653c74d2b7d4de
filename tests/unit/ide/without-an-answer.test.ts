import { describe, expect, it } from 'vitest';
import { LEXER } from '#grammar/tokens.ts';
import type { Analysis } from '#server/analysis/analysis.ts';
import { expectationsOf } from '#server/analysis/expectations.ts';
import type { Check } from '#server/checks/check.ts';
import { CHECKS } from '#server/checks/registry.ts';
import { findAtCorners } from '#server/checks/run-checks.ts';
import { runDrawing } from '#server/drawing/run-drawing.ts';
import { siteDrawing } from '#server/drawing/site-drawing.ts';
import { svgFile } from '#server/drawing/svg.ts';
import { cardMarkdown, cardText } from '#server/ide/card.ts';
import { powerItemAt, suppliedBy, suppliersOf } from '#server/ide/feed-hierarchy.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { lensesOf } from '#server/ide/lenses.ts';
import type { Account } from '#server/model/account.ts';
import { netlistOf } from '#server/model/netlist.ts';
import { SolutionCache } from '#server/model/solution-cache.ts';
import type { SolvedIsland } from '#server/model/solved-island.ts';
import { factsOf } from '#server/review/facts.ts';
import { everyPlan } from '../../support/every-plan.ts';
import { holdFindings, holdOutputs, holdPlace, holdViews } from '../../support/fuzz/plan-invariants.ts';
import { hostOf, MAIN } from '../../support/plans.ts';

/**
 * Every plan of the project as if no circuit of it had an answer: nothing that is shown makes one up, every card of what
 * carries current says why it has no figures, and all that needs none is shown as ever.
 */
const NO_FIGURE = /\b(?:NaN|Infinity|undefined)\b|\[object /;
const WHY = /No(?:thing| figures)|not joined|no steady voltages/;

describe.each(everyPlan().filter(({ files }) => files.size > 1))('$name', ({ files }) => {
  const analysis = unanswered(hostOf(files).analyse(MAIN));
  const all = [...files.values()].join('\n');
  const text = files.get('plan.festoon') ?? '';

  it('is looked at as ever, without a figure that nobody has computed', () => {
    holdFindings(analysis, all);
    for (const { uri } of analysis.files) {
      holdViews(analysis, uri, all);
      const span = { start: 0, end: all.length };
      for (const { text: hint } of inlayHintsOf(analysis, uri, span)) expect(hint).not.toMatch(/\d (?:m?A|V)\b/);
      for (const { title } of lensesOf(analysis, uri)) expect(title).not.toMatch(NO_FIGURE);
    }
    for (const { startOffset } of LEXER.tokenize(text).tokens) {
      holdPlace(analysis, MAIN, startOffset, all);
      const item = powerItemAt(analysis, MAIN, startOffset);
      if (item === undefined) continue;
      const around = [...suppliersOf(analysis, item.kind, item.name), ...suppliedBy(analysis, item.kind, item.name)];
      for (const { item: other } of around) expect(other.detail ?? '').not.toMatch(/\d A\b.*\d V\b/);
    }
  });

  it('says of each run and feed why it has none', () => {
    for (const thing of [...analysis.plan.runs.values(), ...analysis.plan.feeds.values()]) {
      if (thing.origin.uri !== MAIN) continue;
      const file = analysis.files[0];
      const at = (file?.offsets.get(thing.origin.declaration) ?? 0) + thing.origin.start;
      const card = hoverAt(analysis, MAIN, at)?.card;
      if (card === undefined || card.name !== thing.name) continue;
      expect(cardText(card)).toMatch(WHY);
      expect(cardMarkdown(card)).not.toContain('data:image');
    }
  });

  it('is found fault with for that alone: no check speaks of volts or amps', () => {
    const { plan, account, claims } = analysis;
    const found = findAtCorners(CHECKS, plan, [account], undefined, claims);
    // What a supply is set to is stated, not computed.
    const isComputed = ({ code, ofLoad }: Check) => ofLoad === true && code !== 'supply-setting';
    const ofLoad = new Set(CHECKS.filter(isComputed).map(({ code }) => code));
    expect(found.filter(({ code }) => ofLoad.has(code) || code === 'internal').map(({ message }) => message)).toEqual(
      [],
    );
    const unsolved = found.filter(({ code }) => code === 'unsolved');
    expect(unsolved).toHaveLength(account.islands.length);
    for (const { message } of unsolved)
      expect(message).toMatch(/^No steady voltages were found around .*\. Nothing is/);
    // What a plan expects of a voltage or a current is not shown to hold.
    for (const { computed, passed, kind } of expectationsOf(analysis))
      expect({ kind, holds: kind === 'measured' && passed && computed === undefined }).toEqual({ kind, holds: false });
  });

  it('gives programs, papers and drawings what is known', () => {
    holdOutputs(analysis, all);
    expect(JSON.stringify([...factsOf(analysis).facts.values()])).not.toMatch(NO_FIGURE);
    const cache = new SolutionCache();
    for (const run of analysis.plan.runs.values())
      expect(svgFile(runDrawing(analysis.plan, analysis.account, run, cache))).not.toMatch(NO_FIGURE);
    expect(svgFile(siteDrawing(analysis.plan))).not.toMatch(NO_FIGURE);
    expect(netlistOf(analysis.plan, analysis.account).lines.join('\n')).not.toMatch(NO_FIGURE);
  });
});

/** What an analysis is when the solver gives up on every circuit. */
function unanswered(analysis: Analysis): Analysis {
  const outcome = { status: 'diverged' as const, node: 0, residualAmps: 1, iterations: 50 };
  const none = <K, V>() => new Map<K, V>();
  const islands = analysis.account.islands.map(({ island, circuit }) => ({ island, circuit, outcome }));
  const account: Account = {
    islands: islands as readonly SolvedIsland[],
    ...{ runs: none(), feeds: none(), outputs: none(), boards: none(), supplies: none(), measured: [] },
  };
  // Much of an analysis is computed when it is asked for.
  return Object.create(analysis, { account: { value: account } });
}
