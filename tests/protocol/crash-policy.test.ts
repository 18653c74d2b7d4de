import { afterEach, describe, expect, it, vi } from 'vitest';
import { LanguageClient } from '../support/language-client.ts';

/** A fault of ours, planted where every feature passes: the analysis of a text that says BOOM. */
vi.mock('#server/analysis/host.ts', async (load) => {
  const real = await load<typeof import('#server/analysis/host.ts')>();
  class Host extends real.Host {
    override analyse(uri: string) {
      if (this.fileOf(uri)?.text.includes('BOOM')) throw new Error('planted in analysis');
      return super.analyse(uri);
    }
  }
  return { ...real, Host };
});

const PLAN = 'plan.festoon';
let client: LanguageClient;
afterEach(() => client.close());

const position = { line: 0, character: 7 };
const range = { start: position, end: position };
const ASKED: readonly (readonly [string, object])[] = [
  ...['hover', 'completion', 'definition', 'typeDefinition', 'documentHighlight', 'signatureHelp'].map(
    (name) => [`textDocument/${name}`, { position }] as const,
  ),
  ['textDocument/references', { position, context: { includeDeclaration: true } }],
  ['textDocument/prepareRename', { position }],
  ['textDocument/codeAction', { range, context: { diagnostics: [] } }],
  ['textDocument/formatting', { options: { tabSize: 2, insertSpaces: true } }],
  ['textDocument/documentSymbol', {}],
  ['textDocument/foldingRange', {}],
  ['textDocument/selectionRange', { positions: [position] }],
  ['textDocument/semanticTokens/full', {}],
  ['textDocument/semanticTokens/range', { range }],
  ['textDocument/inlayHint', { range }],
  ['textDocument/documentLink', {}],
  ['textDocument/codeLens', {}],
  ['textDocument/prepareCallHierarchy', { position }],
];

describe('a fault of ours in', () => {
  it.each(ASKED)(
    '%s is answered, logged once with what reproduces it, and the next request is served',
    async (method, params) => {
      client = await LanguageClient.inMemory();
      await client.open(PLAN, 'place BOOM\n');
      await client.ask(method, PLAN, params);
      const faults = () => client.logged.filter((line) => line.includes('internal error'));
      await client.until(() => faults().length > 0);
      expect(faults()).toHaveLength(1);
      expect(faults()[0]).toContain(method);
      expect(faults()[0]).toContain(client.uri(PLAN));
      expect(faults()[0]).toContain('planted in analysis');
      await client.change(PLAN, 'place shed\n');
      expect(await client.ask('textDocument/hover', PLAN, { position })).not.toBeNull();
    },
  );
});
