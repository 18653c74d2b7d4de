import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { Connection } from 'vscode-languageserver';
import { tellAsked, tellUnasked } from '#server/lsp/progress.ts';

/** A client is told of work that takes long, and of no other. */

const WORK = { title: 'checking', cancellable: true };
let said: unknown[];
beforeEach(() => {
  vi.useFakeTimers();
  said = [];
});
afterEach(() => {
  vi.useRealTimers();
});

const source = { isCancellationRequested: false };
const reporter = {
  token: source,
  begin: (...args: unknown[]) => said.push(['begin', ...args]),
  report: (...args: unknown[]) => said.push(['report', ...args]),
  done: () => said.push(['end']),
};
const connectionOf = (create: () => Promise<unknown>) =>
  ({ window: { attachWorkDoneProgress: () => reporter, createWorkDoneProgress: create } }) as unknown as Connection;
const connection = connectionOf(async () => reporter);
/** Half a second is what a person waits without asking. */
const wait = (ms: number) => vi.advanceTimersByTimeAsync(ms);

it.each([
  ['that a client asks about', () => tellAsked(connection, WORK, 'mine')],
  ['that it does not', () => tellUnasked(connection, WORK)],
])('work %s is not spoken of where it is short, and told as it goes on where it is long', async (_, start) => {
  const short = start();
  short.tell(1, 4);
  await wait(400);
  short.end();
  await wait(10_000);
  expect(said).toEqual([]);

  const long = start();
  long.tell(1, 4);
  await wait(600);
  long.tell(2, 4);
  await wait(1000);
  long.tell(3, 4);
  long.tell(4, 4);
  await wait(1000);
  long.tell(5);
  long.end();
  expect(said).toEqual([
    ['begin', 'checking', 25, '1 of 4', true],
    // The second came too soon after the beginning, the fourth after the third.
    ['report', 75, '3 of 4'],
    ['report', '5 steps'],
    ['end'],
  ]);
});

it('says nothing where the client gave no token, or refuses ours', async () => {
  for (const progress of [
    tellAsked(connection, WORK, undefined),
    // As some clients say that they have none.
    tellAsked(connection, WORK, null as never),
    tellUnasked(
      connectionOf(() => Promise.reject(new Error('refused'))),
      WORK,
    ),
  ]) {
    progress.tell(1);
    await wait(2000);
    progress.tell(2);
    progress.end();
  }
  expect(said).toEqual([]);
});

it('ends what begins only after the work has ended', async () => {
  let answer: (value: unknown) => void = () => undefined;
  const slow = connectionOf(
    () =>
      new Promise((resolve) => {
        answer = resolve;
      }),
  );
  const progress = tellUnasked(slow, WORK);
  await wait(2000);
  progress.end();
  answer(reporter);
  await wait(0);
  expect(said.map((each) => (each as unknown[])[0])).toEqual(['begin', 'end']);
});

it('is cancelled by a person where the work may be left', async () => {
  const [left, kept] = [tellUnasked(connection, WORK), tellUnasked(connection, { ...WORK, cancellable: false })];
  await wait(600);
  expect([left.isCancelled(), kept.isCancelled()]).toEqual([false, false]);
  source.isCancellationRequested = true;
  expect([left.isCancelled(), kept.isCancelled()]).toEqual([true, false]);
  source.isCancellationRequested = false;
});
