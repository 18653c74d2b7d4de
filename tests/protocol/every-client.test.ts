import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import type { ClientCapabilities, CompletionItem, CompletionList, InlayHint } from 'vscode-languageserver';
import { DISPLAY, FED } from '../support/display.ts';
import { LanguageClient, MODERN, PLAIN, positionIn } from '../support/language-client.ts';

/**
 * Clients that can do everything, little, or nothing but the least, asking everything at every word of a sound plan and of
 * one with findings: each is answered, and gets no more than it can take.
 */
const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const PLAN = 'plan.festoon';
const FLAWED = `${DISPLAY}\nplace shed\nuse "gone.festoon"\nrun far  from box.9 {\n  string 5 px  of nothing\n}\n`;

const EVERYTHING: ClientCapabilities = {
  ...MODERN,
  general: { positionEncodings: ['utf-8'] },
  textDocument: {
    ...MODERN.textDocument,
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: [] } }, disabledSupport: true },
    rename: { prepareSupport: true },
    signatureHelp: { signatureInformation: { parameterInformation: { labelOffsetSupport: true } } },
  },
};

const CLIENTS: Readonly<Record<string, ClientCapabilities>> = {
  everything: EVERYTHING,
  little: PLAIN,
  nothing: { general: { positionEncodings: ['utf-32'] } },
};

const AT_A_PLACE = [
  ...['hover', 'definition', 'typeDefinition', 'documentHighlight', 'signatureHelp', 'selectionRange'],
  ...['prepareRename', 'prepareCallHierarchy', 'completion', 'codeAction', 'references'],
];
const OF_A_FILE = ['documentSymbol', 'foldingRange', 'documentLink', 'codeLens', 'semanticTokens/full', 'inlayHint'];

let client: LanguageClient;
afterEach(() => client.close());

describe.each(Object.entries(CLIENTS))('a client that can do %s', (name, capabilities) => {
  it.each([
    ['sound', FED],
    ['flawed', FLAWED],
  ])('is answered about a %s plan', async (_, text) => {
    client = await LanguageClient.inMemory({ capabilities, files: new Map([['bench.festoon', BENCH]]) });
    await client.open(PLAN, text);
    const range = { start: { line: 0, character: 0 }, end: positionIn(text, text.length) };
    for (const method of OF_A_FILE) {
      const answer = await client.ask(`textDocument/${method}`, PLAN, { range });
      expect(answer, method).not.toBeNull();
    }
    for (const { index } of text.matchAll(/(?<=\s)\S/g)) {
      const position = positionIn(text, index);
      const params = {
        ...{ position, positions: [position], range: { start: position, end: position } },
        context: { diagnostics: [], includeDeclaration: true },
      };
      for (const method of AT_A_PLACE) {
        // What stands on no name says so; that too is an answer.
        const answer = await client.ask(`textDocument/${method}`, PLAN, params).catch((error: Error) => error.message);
        if (name !== 'everything') expect(JSON.stringify(answer) ?? '', method).not.toContain('"originSelectionRange"');
      }
    }
    await holdItems(range);
    for (const view of ['wiring', 'run', 'site'])
      expect(await client.ask('festoon/drawing', PLAN, { view, run: 'eaves' })).toMatchObject({
        runs: expect.anything(),
      });
    expect(client.logged.filter((line) => line.includes('internal error'))).toEqual([]);
  });
});

/** What is resolved later keeps its label, whatever comes with it. */
async function holdItems(range: object): Promise<void> {
  const list = await client.ask<CompletionList>('textDocument/completion', PLAN, {
    position: client.at(PLAN, 'from box', 'behind'),
  });
  expect(list.items.length).toBeGreaterThan(0);
  for (const item of [...list.items, { label: 'unknown' }]) {
    const resolved = await client.connection.sendRequest<CompletionItem>('completionItem/resolve', item);
    expect(resolved.label).toBe(item.label);
  }
  const hints = await client.ask<InlayHint[]>('textDocument/inlayHint', PLAN, { range });
  for (const hint of [...hints, { position: { line: 0, character: 0 }, label: 'unknown' }]) {
    const resolved = await client.connection.sendRequest<InlayHint>('inlayHint/resolve', hint);
    expect(resolved.label).toEqual(hint.label);
  }
}
