import { afterEach, describe, expect, it } from 'vitest';
import type {
  DocumentHighlight,
  DocumentLink,
  FoldingRange,
  InlayHint,
  Location,
  MarkupContent,
  SelectionRange,
  SemanticTokens,
  SymbolInformation,
  WorkspaceEdit,
} from 'vscode-languageserver';
import { LanguageClient, MODERN, offsetIn, PLAIN } from '../support/language-client.ts';

const PLAN = 'plan.festoon';
const PARTS = 'parts.festoon';

const FILES = () =>
  new Map([
    [
      PLAN,
      `plan "one" {\n  frame-rate 25 fps\n}\nuse "${PARTS}"\n\n# the way\n# over the yard\nroute shed to roof  3 m\n`,
    ],
    ['second.festoon', `plan "two" {\n  frame-rate 25 fps\n}\nuse "${PARTS}"\nroute roof to shed  5 m\n`],
    [PARTS, 'place shed\nplace roof\n'],
  ]);

let client: LanguageClient;
afterEach(() => client.close());

async function started(capabilities = MODERN): Promise<void> {
  const files = FILES();
  client = await LanguageClient.inMemory({ files, capabilities });
  for (const path of [PLAN, PARTS]) await client.open(path, files.get(path) ?? '');
}

const where = (locations: readonly Location[]) =>
  locations.map(({ uri, range }) => `${uri.split('/').at(-1)}:${range.start.line}`).sort();

describe('names', () => {
  it('are found in every plan that uses the file, open or not', async () => {
    await started();
    const params = { position: client.at(PARTS, 'shed'), context: { includeDeclaration: true } };
    expect(where(await client.ask<Location[]>('textDocument/references', PARTS, params))).toEqual([
      'parts.festoon:0',
      'plan.festoon:7',
      'second.festoon:4',
    ]);
    const uses = await client.ask<Location[]>('textDocument/references', PARTS, {
      ...params,
      context: { includeDeclaration: false },
    });
    expect(where(uses)).toEqual(['plan.festoon:7', 'second.festoon:4']);
  });

  it('are renamed in all of them, each edit for the version at hand', async () => {
    await started();
    const edit = await client.ask<WorkspaceEdit>('textDocument/rename', PLAN, {
      position: client.at(PLAN, 'shed'),
      newName: 'hut',
    });
    const changes = (edit.documentChanges ?? []).flatMap((change) => ('edits' in change ? [change] : []));
    expect(
      changes.map(({ textDocument, edits }) => [
        textDocument.uri.split('/').at(-1),
        textDocument.version,
        edits.length,
      ]),
    ).toEqual(
      expect.arrayContaining([
        ['parts.festoon', 1, 1],
        ['plan.festoon', 1, 1],
      ]),
    );
    const fromParts = await client.ask<WorkspaceEdit>('textDocument/rename', PARTS, {
      position: client.at(PARTS, 'shed'),
      newName: 'hut',
    });
    expect(
      (fromParts.documentChanges ?? []).map((change) =>
        'edits' in change ? [change.textDocument.uri.split('/').at(-1), change.textDocument.version] : [],
      ),
    ).toEqual(expect.arrayContaining([['second.festoon', null]]));
  });

  it('say why they cannot be renamed', async () => {
    await started();
    await expect(
      client.ask('textDocument/prepareRename', PLAN, { position: client.at(PLAN, 'route') }),
    ).rejects.toThrow('not declared in the plan');
    await expect(
      client.ask('textDocument/rename', PLAN, { position: client.at(PLAN, 'shed'), newName: 'roof' }),
    ).rejects.toThrow('already means something else');
    const range = await client.ask<{ placeholder: string }>('textDocument/prepareRename', PLAN, {
      position: client.at(PLAN, 'shed', 'behind'),
    });
    expect(range.placeholder).toBe('shed');
  });

  it('light up in their file', async () => {
    await started();
    const found = await client.ask<DocumentHighlight[]>('textDocument/documentHighlight', PARTS, {
      position: client.at(PARTS, 'roof'),
    });
    expect(found.map(({ range, kind }) => [range.start, kind])).toEqual([[{ line: 1, character: 6 }, 3]]);
  });

  it('can be searched over all plans', async () => {
    await started();
    const found = await client.connection.sendRequest<SymbolInformation[]>('workspace/symbol', { query: 'roo' });
    expect(found.map(({ name, location }) => [name, location.uri])).toEqual([['roof', client.uri(PARTS)]]);
  });
});

describe('views', () => {
  it('fold, with the closing brace in sight', async () => {
    await started();
    const folds = await client.ask<FoldingRange[]>('textDocument/foldingRange', PLAN);
    expect(folds).toEqual([
      { startLine: 0, endLine: 1 },
      { startLine: 5, endLine: 6, kind: 'comment' },
    ]);
  });

  it('grow selections', async () => {
    await started();
    const [selection] = await client.ask<SelectionRange[]>('textDocument/selectionRange', PLAN, {
      positions: [client.at(PLAN, 'roof')],
    });
    const texts: string[] = [];
    for (let at: SelectionRange | undefined = selection; at !== undefined; at = at.parent) {
      texts.push(
        client
          .textOf(PLAN)
          .slice(offsetIn(client.textOf(PLAN), at.range.start), offsetIn(client.textOf(PLAN), at.range.end)),
      );
    }
    expect(texts.slice(0, 3)).toEqual(['roof', 'shed to roof', 'route shed to roof  3 m']);
  });

  it('link files', async () => {
    await started();
    const [link] = await client.ask<DocumentLink[]>('textDocument/documentLink', PLAN);
    expect(link).toMatchObject({
      target: client.uri(PARTS),
      range: { start: { line: 3, character: 5 }, end: { line: 3, character: 5 + PARTS.length } },
    });
  });

  it('colour names by what they stand for', async () => {
    await started();
    const legend = client.initialized.capabilities.semanticTokensProvider?.legend;
    expect(legend?.tokenTypes.length).toBeLessThanOrEqual(8);
    const { data } = await client.ask<SemanticTokens>('textDocument/semanticTokens/full', PARTS);
    const place = legend?.tokenTypes.indexOf('namespace');
    // Line and column steps, length, type, modifiers: `shed` and `roof`, each declared.
    expect(data).toEqual([0, 6, 4, place, 1, 1, 6, 4, place, 1]);
    const part = await client.ask<SemanticTokens>('textDocument/semanticTokens/range', PARTS, {
      range: { start: { line: 1, character: 0 }, end: { line: 1, character: 10 } },
    });
    expect(part.data).toEqual([1, 6, 4, place, 1]);
  });

  it('show computed figures, and where they come from', async () => {
    await started();
    const range = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };
    const [hint] = await client.ask<InlayHint[]>('textDocument/inlayHint', PLAN, { range });
    expect(hint).toMatchObject({ label: '0 cables', position: { line: 7, character: 23 } });
    const resolved = await client.connection.sendRequest<InlayHint>('inlayHint/resolve', hint);
    expect((resolved.tooltip as MarkupContent).value).toContain('shed to roof');
  });

  it('leave out figures that are switched off', async () => {
    const capabilities = { ...MODERN, workspace: { ...MODERN.workspace, configuration: true } };
    await started(capabilities);
    const asked: unknown[] = [];
    client.connection.onRequest('workspace/configuration', ({ items }: { items: { section: string }[] }) => {
      asked.push(...items.map(({ section }) => section));
      return [{ inlayHints: { routes: false }, codeLens: false }];
    });
    const range = { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } };
    expect(await client.ask('textDocument/inlayHint', PLAN, { range })).toEqual([]);
    expect(await client.ask('textDocument/codeLens', PARTS)).toEqual([]);
    expect(asked).toEqual(['festoon']);
  });

  it('are given in plain form to clients that know no better', async () => {
    const files = FILES();
    client = await LanguageClient.inMemory({ capabilities: PLAIN, files });
    await client.open(PARTS, files.get(PARTS) ?? '');
    const symbols = await client.ask<SymbolInformation[]>('textDocument/documentSymbol', PARTS);
    expect(symbols[0]).toMatchObject({ name: 'shed', location: { uri: client.uri(PARTS) } });
    const hover = await client.ask<{ contents: MarkupContent }>('textDocument/hover', PARTS, {
      position: { line: 0, character: 6 },
    });
    expect(hover.contents.kind).toBe('plaintext');
    const definition = await client.ask<Location>('textDocument/definition', PARTS, {
      position: { line: 0, character: 6 },
    });
    expect(definition.uri).toBe(client.uri(PARTS));
    const edit = await client.ask<WorkspaceEdit>('textDocument/rename', PARTS, {
      position: { line: 0, character: 6 },
      newName: 'hut',
    });
    expect(Object.keys(edit.changes ?? {})).toContain(client.uri(PARTS));
    expect(client.initialized.capabilities.codeActionProvider).toBe(false);
  });
});
