import { expect, it } from 'vitest';
import { CancellationTokenSource } from 'vscode-languageserver';
import { inTurns } from '#server/lsp/in-turns.ts';
import { injectionSteps, SEARCH_OPTIONS } from '#server/planning/injection-search.ts';
import { longRunPlan } from '../../support/long-run-plan.ts';
import { analysePlan } from '../../support/plans.ts';

/** Long work leaves room for other messages, and stops when nobody waits for it any more. */

function* endless(done: { steps: number }): Generator<void, never> {
  for (;;) {
    done.steps++;
    yield;
  }
}

it('gives the result of work that ends', async () => {
  const { token } = new CancellationTokenSource();
  const work = (function* () {
    yield;
    return 7;
  })();
  expect(await inTurns(work, token, () => true)).toBe(7);
});

it('stops where the request is cancelled meanwhile', async () => {
  const source = new CancellationTokenSource();
  setTimeout(() => source.cancel());
  await expect(inTurns(endless({ steps: 0 }), source.token, () => true)).rejects.toThrow('cancelled');
});

it('stops where a person cancels what is shown of it, and tells how far it is', async () => {
  const { token } = new CancellationTokenSource();
  const told: number[] = [];
  const progress = { tell: (done: number) => told.push(done), end: () => undefined, isCancelled: () => true };
  await expect(inTurns(endless({ steps: 0 }), token, () => true, progress)).rejects.toThrow('cancelled');
  expect(told.slice(0, 3)).toEqual([1, 2, 3]);
});

it('stops where the text has changed meanwhile', async () => {
  const { token } = new CancellationTokenSource();
  const done = { steps: 0 };
  await expect(inTurns(endless(done), token, () => done.steps === 0)).rejects.toThrow('the text has changed');
});

it('has the search for injection points in many steps, and leaves it after any', () => {
  const { analysis, host } = analysePlan(longRunPlan({ strings: 10, brightness: 60, rated: 80, supplies: 6 }));
  const run = analysis.plan.runs.get('long');
  if (run === undefined) throw new Error('the plan has no run');
  const ctx = {
    ...analysis,
    preview: (edits: Parameters<typeof host.preview>[1]) => host.preview(analysis.uri, edits),
  };
  const steps = injectionSteps(ctx, run, SEARCH_OPTIONS);
  let count = 0;
  while (steps.next().done !== true) count++;
  expect(count).toBeGreaterThan(20);
  const left = injectionSteps(ctx, run, SEARCH_OPTIONS);
  left.next();
  expect(left.return({ answers: [], isProven: false, floor: undefined, trials: 0 }).done).toBe(true);
});
