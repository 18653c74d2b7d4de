import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { expect, it } from 'vitest';
import type { Connection } from 'vscode-languageserver';
import { Documents } from '#server/lsp/documents.ts';
import { Files } from '#server/lsp/files.ts';
import { Plans } from '#server/lsp/plans.ts';
import { REHEARSED } from '#server/lsp/rehearsal.ts';

/** A client and a server without a disk, as far as plans need them: nobody hands a file over. */
const nobody = { sendRequest: () => Promise.resolve({}) } as unknown as Connection;

it.each(['untitled:Untitled-1', 'file:///elsewhere/plan.festoon'])('%s, once closed, is let go', async (key) => {
  setFlagsFromString('--expose-gc');
  const collect: () => void = runInNewContext('gc');
  const plans = new Plans(new Documents(), new Files(nobody, undefined), () => undefined);
  const opened = async () => {
    plans.update(key, REHEARSED);
    const run = (await plans.analysisFor(key)).plan.runs.get('run-0');
    expect(run?.pixelCount).toBe(9);
    return new WeakRef(run!);
  };
  const run = await opened();
  plans.close(key);
  await plans.listed();
  // What a WeakRef has just given stays until the turn is over.
  await new Promise((resolve) => {
    setImmediate(resolve);
  });
  collect();
  expect(run.deref()).toBeUndefined();
  expect((await plans.analysisFor(key)).files).toEqual([]);
});
