import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import type {
  CodeAction,
  CompletionList,
  DocumentSymbol,
  Hover,
  LocationLink,
  MarkupContent,
  TextEdit,
} from 'vscode-languageserver';
import { DISPLAY } from '../support/display.ts';
import { LanguageClient, MODERN, offsetIn, PLAIN, withEdits } from '../support/language-client.ts';

const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const PLAN = 'plan.festoon';

let client: LanguageClient;
afterEach(() => client.close());

const bench = () => new Map([['bench.festoon', BENCH]]);

describe('a session', () => {
  it('goes from a warning over its fix to a clean plan', async () => {
    client = await LanguageClient.inMemory({ files: bench() });
    await client.open(PLAN, DISPLAY);
    const found = await client.pull(PLAN);
    expect(found.map(({ code, source, severity }) => [code, source, severity])).toEqual([
      ['low-voltage', 'festoon', 2],
    ]);
    const [low] = found;
    if (low === undefined) throw new Error('no finding');
    expect(low.message).toContain('10.17 V at pixel 100');
    expect(low.relatedInformation?.map(({ location }) => location.uri)).toEqual([client.uri(PLAN)]);

    const hover = await client.ask<Hover>('textDocument/hover', PLAN, { position: client.at(PLAN, 'eaves') });
    expect((hover.contents as MarkupContent).value).toContain('data:image/svg+xml;base64,');

    const context = { diagnostics: [low] };
    const actions = await client.ask<CodeAction[]>('textDocument/codeAction', PLAN, { range: low.range, context });
    const [fix] = actions;
    expect(fix).toMatchObject({ kind: 'quickfix', isPreferred: true, diagnostics: [{ code: 'low-voltage' }] });
    await client.apply(fix?.edit ?? {});
    expect(await client.pull(PLAN)).toEqual([]);
    expect(await client.ask('textDocument/codeAction', PLAN, { range: low.range, context })).toEqual([]);
  });

  it('serves outline, definition, completion and formatting', async () => {
    client = await LanguageClient.inMemory({ files: bench() });
    await client.open(PLAN, `${DISPLAY}place    quay\nfeed f from `);
    const symbols = await client.ask<DocumentSymbol[]>('textDocument/documentSymbol', PLAN);
    expect(symbols.map((symbol) => symbol.name)).toContain('eaves');
    const [link] = await client.ask<LocationLink[]>('textDocument/definition', PLAN, {
      position: client.at(PLAN, 'bench-12'),
    });
    expect(link?.targetUri).toBe(client.uri('bench.festoon'));
    const position = client.at(PLAN, 'feed f from ', 'behind');
    const list = await client.ask<CompletionList>('textDocument/completion', PLAN, { position });
    expect(list.items[0]).toMatchObject({ label: 'psu.2', textEdit: { newText: 'psu.2' } });
    const resolved = await client.connection.sendRequest<{ documentation: MarkupContent }>(
      'completionItem/resolve',
      list.items[0],
    );
    expect(resolved.documentation.value).toContain('psu.2');
    const edits = await client.ask<TextEdit[]>('textDocument/formatting', PLAN, {
      options: { tabSize: 2, insertSpaces: true },
    });
    expect(withEdits(client.textOf(PLAN), edits)).toContain('\nplace quay\n');
  });

  it('sees unsaved text, changed in pieces', async () => {
    client = await LanguageClient.inMemory({ files: bench() });
    await client.open(PLAN, DISPLAY);
    await client.change(PLAN, '3 px', { start: client.at(PLAN, '60 px'), end: client.at(PLAN, '60 px', 'behind') });
    await client.change(PLAN, '3 px', { start: client.at(PLAN, '40 px'), end: client.at(PLAN, '40 px', 'behind') });
    expect(client.textOf(PLAN)).toContain('gable  3 px');
    expect(await client.pull(PLAN)).toEqual([]);
  });

  it('counts positions as the client does, with emoji and CR LF in the text', async () => {
    const text = 'place 🎄tree "🎄"\r\nplace shed "🎄🎄"\r\nroute shed to rof "🎄"  3 m\r\nplace roof\r\n'.replace(
      '🎄tree',
      'tree',
    );
    const expected = { 'utf-8': 14, 'utf-16': 14, 'utf-32': 14 } as const;
    for (const encoding of ['utf-8', 'utf-16', 'utf-32'] as const) {
      client = await LanguageClient.inMemory({
        capabilities: { ...MODERN, general: { positionEncodings: [encoding] } },
      });
      expect(client.initialized.capabilities.positionEncoding).toBe(encoding);
      await client.open(PLAN, text);
      const found = await client.pull(PLAN);
      expect(found.find(({ code }) => code === 'unknown-name')?.range.start).toEqual({
        line: 2,
        character: expected[encoding],
      });
      if (encoding !== 'utf-32') await client.close();
    }
  });

  it('counts bytes, code units or code points behind an emoji on the same line', async () => {
    const text = 'place shed "🎄"  nonsense\n';
    // The quoted tree is 6 bytes, 4 code units or 3 code points long, behind the 11 of `place shed `.
    const columns = { 'utf-8': 19, 'utf-16': 17, 'utf-32': 16 } as const;
    for (const encoding of ['utf-8', 'utf-16', 'utf-32'] as const) {
      client = await LanguageClient.inMemory({
        capabilities: { ...MODERN, general: { positionEncodings: [encoding] } },
      });
      await client.open(PLAN, text);
      const [found] = await client.pull(PLAN);
      expect(found?.range.start).toEqual({ line: 0, character: columns[encoding] });
      await client
        .change(PLAN, 'x', {
          start: { line: 0, character: columns[encoding] },
          end: { line: 0, character: columns[encoding] },
        })
        .catch(() => undefined);
      if (encoding !== 'utf-32') await client.close();
    }
  });

  it('gives the first encoding of the list that it knows, else UTF-16', async () => {
    client = await LanguageClient.inMemory({
      capabilities: { general: { positionEncodings: ['utf-7', 'utf-8', 'utf-16'] } },
    });
    expect(client.initialized.capabilities.positionEncoding).toBe('utf-8');
    await client.close();
    client = await LanguageClient.inMemory({ capabilities: PLAIN });
    expect(client.initialized.capabilities.positionEncoding).toBe('utf-16');
  });
});

describe('wild requests', () => {
  const POSITIONS = [
    { line: 0, character: 100_000 },
    { line: 100_000, character: 0 },
    { line: -1, character: -1 },
    { line: 3, character: 0.5 },
  ];
  const METHODS = [
    'hover',
    'definition',
    'typeDefinition',
    'references',
    'documentHighlight',
    'completion',
    'prepareRename',
    'rename',
    'selectionRange',
    'codeAction',
    'inlayHint',
    'semanticTokens/range',
  ];

  it('are answered, and the server goes on', async () => {
    client = await LanguageClient.inMemory({ files: bench() });
    await client.open(PLAN, DISPLAY);
    let answered = 0;
    for (const position of POSITIONS) {
      const range = { start: position, end: { line: 0, character: 0 } };
      const params = {
        position,
        positions: [position],
        range,
        newName: 'x',
        context: { diagnostics: [], includeDeclaration: true },
      };
      for (const method of METHODS) {
        await client.ask(`textDocument/${method}`, PLAN, params).catch((error: Error) => {
          expect(error.message).not.toContain('Unhandled');
        });
        answered++;
      }
    }
    expect(answered).toBe(POSITIONS.length * METHODS.length);
    expect(client.logged.filter((line) => line.includes('internal error'))).toEqual([]);
    expect(await client.pull(PLAN)).toHaveLength(1);
  });

  it('about files that nobody has are answered with nothing', async () => {
    client = await LanguageClient.inMemory();
    for (const uri of ['file:///nowhere/x.festoon', 'untitled:Untitled-1', 'nonsense', 'https://example.org/x']) {
      expect(await client.ask('textDocument/hover', uri, { position: { line: 0, character: 0 } })).toBeNull();
      expect(await client.pull(uri)).toEqual([]);
    }
  });

  it('with a text that is no plan are answered', async () => {
    client = await LanguageClient.inMemory();
    const texts = [
      '',
      '\u0000\u0001\ufffd'.repeat(500),
      '{'.repeat(3000),
      `run r from b.1 {\n  string 999999999999 px of p every 1 mm\n}\n`,
      '\ud800\udfff"\n#',
    ];
    for (const [index, text] of texts.entries()) {
      const path = `bad-${index}.festoon`;
      await client.open(path, text);
      expect(Array.isArray(await client.pull(path))).toBe(true);
      expect(Array.isArray(await client.ask('textDocument/documentSymbol', path))).toBe(true);
      await client.ask('textDocument/hover', path, { position: { line: 0, character: 1 } });
    }
    expect(client.logged.filter((line) => line.includes('internal error'))).toEqual([]);
  });
});

describe('documents', () => {
  it('untitled and outside of any folder are served too', async () => {
    client = await LanguageClient.inMemory({ folders: [] });
    await client.open('untitled:Untitled-1', 'place shed\nplace shed\n');
    expect((await client.pull('untitled:Untitled-1')).map(({ code }) => code)).toEqual(['duplicate-name']);
  });

  it('that nobody has saved use no files, and say what would help', async () => {
    client = await LanguageClient.inMemory({ files: new Map([['parts.festoon', 'place shed\n']]) });
    await client.open('untitled:Untitled-1', 'use "parts.festoon"\n');
    const [found, ...more] = await client.pull('untitled:Untitled-1');
    expect([found?.code, found?.message, more.length]).toEqual([
      'file-outside',
      '"parts.festoon" is not read, since this plan has no place on the disk yet. Save the plan beside that file.',
      0,
    ]);
  });

  it('are known by one name, however the client escapes it', async () => {
    client = await LanguageClient.inMemory({ files: new Map([['parts (old)/a b.festoon', 'place shed\n']]) });
    await client.open(
      'file:///display/plan%20%281%29.festoon',
      'use "parts (old)/a b.festoon"\nplace roof\nroute shed to roof 3 m\n',
    );
    expect(await client.pull('file:///display/plan%20(1).festoon')).toEqual([]);
  });

  it('keep edits apart by version: one for an older text is never made', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'place roof\nroute roof to rof  3 m\n');
    const range = { start: { line: 1, character: 14 }, end: { line: 1, character: 17 } };
    const [fix] = await client.ask<CodeAction[]>('textDocument/codeAction', PLAN, {
      range,
      context: { diagnostics: [] },
    });
    await client.change(PLAN, 'place roof\n\nroute roof to rof  3 m\n');
    await expect(client.apply(fix?.edit ?? {})).rejects.toThrow('version');
  });

  it('have the text that the client sent, wherever its changes fall', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'place a\r\nplace b\r\n');
    await client.change(PLAN, '🎄', { start: { line: 0, character: 7 }, end: { line: 1, character: 0 } });
    await client.change(PLAN, '"\r\n', { start: { line: 0, character: 7 }, end: { line: 0, character: 9 } });
    expect(client.textOf(PLAN)).toBe('place a"\r\nplace b\r\n');
    const symbols = await client.ask<DocumentSymbol[]>('textDocument/documentSymbol', PLAN);
    expect(symbols.map((symbol) => [symbol.name, offsetIn(client.textOf(PLAN), symbol.range.start)])).toEqual([
      ['a', 0],
      ['b', 10],
    ]);
  });
});
