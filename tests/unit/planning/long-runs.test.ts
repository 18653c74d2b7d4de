import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { SuggestContext } from '#server/checks/check.ts';
import { worsens } from '#server/checks/worsens.ts';
import type { Run } from '#server/model/plan.ts';
import { SEARCH_OPTIONS, searchInjection } from '#server/planning/injection-search.ts';
import { whyNoInjection } from '#server/planning/reasons.ts';
import { titleOf } from '#server/planning/suggest-injection.ts';
import { CURED_BY_INJECTION } from '#server/planning/trial.ts';
import { type LongRun, longRunPlan } from '../../support/long-run-plan.ts';
import { analysePlan } from '../../support/plans.ts';

/** A long run of steady pixels is offered feeds that check clean, or told a reason that is true. */

function contextOf(shape: LongRun): { ctx: SuggestContext; run: Run } {
  return contextOfText(longRunPlan(shape));
}

function contextOfText(text: string): { ctx: SuggestContext; run: Run } {
  const { analysis } = analysePlan(text);
  const run = analysis.plan.runs.get('long');
  if (run === undefined) throw new Error('the plan has no run');
  return { ctx: analysis, run };
}

/** The titles of what is offered, each applied and judged anew, and the reason that is told where nothing is. */
function outcomeOf(shape: LongRun): { titles: string[]; reason: string } {
  const { ctx, run } = contextOf(shape);
  const before = ctx.preview([]).findings;
  const { answers } = searchInjection(ctx, run);
  for (const { edits } of answers) {
    const { findings } = ctx.preview(edits);
    expect(findings.filter(({ code, subject }) => subject === 'long' && CURED_BY_INJECTION.has(code))).toEqual([]);
    expect(worsens(before, findings)).toBe(false);
  }
  return { titles: answers.map((answer) => titleOf(ctx.plan, answer)), reason: whyNoInjection(ctx, run) };
}

describe('injection into long runs', () => {
  it('offers feeds for 1,000 pixels at full brightness and claims no proof', () => {
    const { titles } = outcomeOf({ strings: 10, brightness: 100, rated: 80, supplies: 6 });
    expect(titles.length).toBeGreaterThan(0);
    for (const title of titles) expect(title).toMatch(/, not proven least$/);
  }, 60_000);

  it('proves nothing without a look', () => {
    const { ctx, run } = contextOf({ strings: 10, brightness: 100, rated: 40, supplies: 1 });
    const { answers, isProven } = searchInjection(ctx, run, { ...SEARCH_OPTIONS, budget: { looks: 0, trials: 0 } });
    expect(answers).toEqual([]);
    expect(isProven).toBe(false);
  });

  it('says how many amperes no supply has to spare', () => {
    // By hand: 1,000 x (3 x 18.5 mA + 1 mA) = 56.5 A; nothing reaches the run before. 80 % of 40 A is 32 A.
    const { titles, reason } = outcomeOf({ strings: 10, brightness: 100, rated: 40, supplies: 2 });
    expect(titles).toEqual([]);
    expect(reason).toMatch(/^no supply in reach has 56\.5 A to spare, the most is 3[12](\.\d+)? A; several have it/);
  }, 60_000);

  it('counts what the look draws, and what pixels draw when dark, whatever the brightness', () => {
    // By hand: 1,000 x 1 mA, and at 60 % of full white 1,000 x 3 x 18.5 mA x 0.6; in red a third of that.
    const reason = (look: string) => {
      const text = longRunPlan({ strings: 10, brightness: 60, rated: 12, supplies: 2 });
      const { ctx, run } = contextOfText(text.replace('design-for full-white', `design-for ${look}`));
      return whyNoInjection(ctx, run);
    };
    expect(reason('full-white')).toMatch(/^no supply in reach has 34\.3 A to spare, the most is 9\.[3-6]\d? A/);
    expect(reason('red')).toMatch(/^no supply in reach has 12\.1 A to spare, the most is 9\.[3-6]\d? A/);
  });

  // By hand: at 15 % a pixel draws 3 x 18.5 mA x 0.15 + 1 mA = 9.325 mA, a thousand of them 9.325 A.
  it('refuses at once what a supply cannot give beside what it gives already', () => {
    // With the board's 0.3 A that is 9.63 A, with two hundred pixels more 11.49 A: 80 % of 12 A is 9.6 A, of 12.5 A 10 A,
    // of 16 A 12.8 A. A hundredth more than the limit is let pass.
    const other = `run other  from box.2  at roof {
  lead 2 m  of lead
  outline o1  200 px  of bullet  every 50 mm
}
feed other-start  from psu-1.1  to other.o1  3 m  of two-core-12 x 2
feed other-end  from psu-1.1  to other.end  3 m  of two-core-12 x 2
`;
    const search = (rated: number, more: string) => {
      const { ctx, run } = contextOfText(longRunPlan({ strings: 10, brightness: 15, rated, supplies: 1 }) + more);
      const { answers, isProven, trials } = searchInjection(ctx, run);
      return { offered: answers.length > 0, isProven, isTried: trials > 0 };
    };
    expect(search(11.5, '')).toEqual({ offered: false, isProven: true, isTried: false });
    expect(search(12.5, '')).toEqual({ offered: true, isProven: true, isTried: true });
    expect(search(12.5, other)).toEqual({ offered: false, isProven: true, isTried: false });
    expect(search(16, other)).toEqual({ offered: true, isProven: true, isTried: true });
  });

  it('refuses at once what a mains circuit cannot carry', () => {
    // With the board's 0.3 A these are 104 W at 10.8 V and 116 W at 12 V. From 120 V, with 85 % efficiency and a power
    // factor of 55 % (measured values of enclosed supplies), that is 1.85 A to 2.06 A: 80 % of 2 A is 1.6 A, of 3 A 2.4 A.
    const search = (breaker: number) => {
      const text = longRunPlan({ strings: 10, brightness: 15, rated: 80, supplies: 1 })
        .replace('place box-1', `circuit garden  ${breaker} A at 120 V\nplace box-1`)
        .replace('at box-1 {', 'at box-1  on garden {');
      const { ctx, run } = contextOfText(text);
      const { answers, isProven, trials } = searchInjection(ctx, run);
      return { offered: answers.length > 0, isProven, isTried: trials > 0 };
    };
    expect(search(2)).toEqual({ offered: false, isProven: true, isTried: false });
    expect(search(3)).toEqual({ offered: true, isProven: true, isTried: true });
  });

  it('offers feeds or tells a true reason on any long run', () => {
    const outcomes = new Set<string>();
    const shape = fc.record({
      strings: fc.integer({ min: 4, max: 10 }),
      brightness: fc.integer({ min: 30, max: 100 }),
      rated: fc.integer({ min: 15, max: 80 }),
      supplies: fc.integer({ min: 1, max: 3 }),
    });
    fc.assert(
      fc.property(shape, (drawn) => {
        const { titles, reason } = outcomeOf(drawn);
        // By hand: 56.5 mA for each pixel in full; 80 % of what a supply is rated for is to be used (common practice), of
        // the first one less what the board draws, 0.3 A. A hundredth more than the limit is let pass.
        const needed = drawn.strings * 100 * 0.001 * (1 + 55.5 * (drawn.brightness / 100));
        const spare = drawn.rated * 0.8 - (drawn.supplies === 1 ? 0.3 : 0);
        outcomes.add(titles.length > 0 ? 'offered' : 'refused');
        if (titles.length === 0 && needed > spare * 1.01)
          expect(reason).toMatch(/^no supply in reach has .* A to spare/);
        if (titles.length === 0 && needed < spare) expect(reason).not.toMatch(/to spare/);
        if (needed > drawn.rated * 0.82) expect(titles).toEqual([]);
      }),
      {
        numRuns: 60,
        examples: [
          [{ strings: 9, brightness: 33, rated: 21, supplies: 2 }],
          [{ strings: 10, brightness: 45, rated: 33, supplies: 1 }],
        ],
      },
    );
    expect(outcomes.size).toBe(2);
  }, 120_000);
});
