import { afterEach, expect, it } from 'vitest';
import type { Diagnostic, WorkspaceDiagnosticReport } from 'vscode-languageserver';
import { DISPLAY } from '../support/display.ts';
import { LanguageClient } from '../support/language-client.ts';

/**
 * An editor that compares two versions of a plan opens the earlier one too, under an address of its own beside which no other
 * files lie. Nothing is said of it: its parts would be missing, and all figures wrong.
 */
const EARLIER = 'git:/display/plan.festoon?%7B%22ref%22%3A%22HEAD%22%7D';

let client: LanguageClient;
afterEach(() => client.close());

it.each([
  [{ leavesOut: ['git'] }, false],
  // One that does not say so is answered as for any other file.
  [{}, true],
])('of a client that says %j is read: %s', async (initializationOptions, isRead) => {
  client = await LanguageClient.inMemory({ initializationOptions });
  await client.open(EARLIER, DISPLAY);
  const found: Diagnostic[] = await client.pull(EARLIER);
  expect(found.some(({ code }) => code === 'missing-file')).toBe(isRead);
  const { items } = await client.connection.sendRequest<WorkspaceDiagnosticReport>('workspace/diagnostic', {
    previousResultIds: [],
  });
  expect(items.some(({ uri }) => uri.startsWith('git:'))).toBe(isRead);
  const hints = await client.ask<object[]>('textDocument/inlayHint', EARLIER, {
    range: { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } },
  });
  expect(hints.length > 0).toBe(isRead);
  await client.change(EARLIER, 'place shed\nplace shed\n');
  expect((await client.pull(EARLIER)).length > 0).toBe(isRead);
  await client.closeFile(EARLIER);
  expect(await client.pull(EARLIER)).toEqual([]);
});
