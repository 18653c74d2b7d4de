import { afterEach, expect, it, vi } from 'vitest';
import type { ServerContext } from '#server/lsp/context.ts';
import { handleDiagnostics } from '#server/lsp/handle-diagnostics.ts';

afterEach(() => {
  vi.useRealTimers();
});

it('what is told of the checking of a workspace ends where its files cannot be listed', async () => {
  vi.useFakeTimers();
  const said: string[] = [];
  const reporter = { begin: () => said.push('begin'), done: () => said.push('end') };
  let check: (params: object) => Promise<unknown> = () => Promise.resolve();
  let fail: (error: Error) => void = () => undefined;
  const connection = {
    languages: { diagnostics: { on: () => undefined } },
    onRequest: (_: unknown, handler: typeof check) => {
      check = handler;
    },
    window: { attachWorkDoneProgress: () => reporter },
  };
  const listed = new Promise((_, reject) => {
    fail = reject;
  });
  handleDiagnostics({ connection, plans: { listed: () => listed } } as unknown as ServerContext);
  const answer = expect(check({ previousResultIds: [], workDoneToken: 'mine' })).rejects.toThrow('no folder');
  await vi.advanceTimersByTimeAsync(1000);
  fail(new Error('no folder'));
  await answer;
  expect(said).toEqual(['begin', 'end']);
});
