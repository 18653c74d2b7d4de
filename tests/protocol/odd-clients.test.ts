import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import {
  type CallHierarchyItem,
  type ClientCapabilities,
  type CodeAction,
  type CompletionItem,
  type CompletionList,
  DiagnosticTag,
  type DocumentSymbol,
  type InlayHint,
  SymbolKind,
} from 'vscode-languageserver';
import type { Disk } from '#server/lsp/files.ts';
import { DISPLAY, FED } from '../support/display.ts';
import { FOLDER, LanguageClient, MODERN, PLAIN } from '../support/language-client.ts';

/** Clients that leave things out, say them otherwise, or ask for little: what they can be told is told. */
const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const PLAN = 'plan.festoon';
const benchFile = () => new Map([['bench.festoon', BENCH]]);
const whole = { start: { line: 0, character: 0 }, end: { line: 999, character: 0 } };

let client: LanguageClient;
afterEach(() => client.close());

const codes = async (path: string) => (await client.pull(path)).map(({ code }) => code);

describe('a client that hands no files over', () => {
  const onDisk = (files: Readonly<Record<string, string>>): Disk => ({
    read: async (uri) => files[uri.slice(FOLDER.length)],
    list: async (folder) => Object.keys(files).map((path) => `${folder}${path}`),
  });

  it('is served from the disk, and so are files that nobody has opened', async () => {
    const disk = onDisk({ 'bench.festoon': BENCH, 'other.festoon': 'place barn\nplace barn\n' });
    client = await LanguageClient.inMemory({ handsOverFiles: false, disk });
    await client.open(PLAN, DISPLAY);
    // The bench is there: the sag is reckoned.
    expect(await codes(PLAN)).toEqual(['low-voltage']);
    expect(await codes('other.festoon')).toEqual(['duplicate-name']);
  });

  it('is told of what is not there, where there is no disk either', async () => {
    client = await LanguageClient.inMemory({ handsOverFiles: false });
    await client.open(PLAN, 'use "bench.festoon"\n');
    expect(await codes(PLAN)).toEqual(['missing-file']);
    expect(await client.ask('workspace/symbol', PLAN, { query: 'bench' })).toEqual([]);
  });

  it('is not kept waiting by a disk that fails', async () => {
    const broken = () => Promise.reject(new Error('EIO'));
    client = await LanguageClient.inMemory({ handsOverFiles: false, disk: { read: broken, list: broken } });
    await client.open(PLAN, 'use "bench.festoon"\n');
    expect(await codes(PLAN)).toEqual(['missing-file']);
  });
});

describe('a client that answers with something else', () => {
  it('has no file where it gives no text', async () => {
    client = await LanguageClient.inMemory({ handsOverFiles: false });
    client.connection.onRequest('festoon/readFile', () => ({ text: 7 }));
    client.connection.onRequest('festoon/findFiles', () => ({ uris: 'all of them' }));
    await client.open(PLAN, 'use "bench.festoon"\n');
    expect(await codes(PLAN)).toEqual(['missing-file']);
  });

  it.each([[null], ['yes'], [{ inlayHints: 'none' }]])(
    'has set nothing where its settings are %j',
    async (settings) => {
      const capabilities: ClientCapabilities = {
        ...MODERN,
        workspace: { ...MODERN.workspace, configuration: true, didChangeConfiguration: { dynamicRegistration: true } },
      };
      client = await LanguageClient.inMemory({ capabilities, files: benchFile() });
      client.connection.onRequest('workspace/configuration', () => [settings]);
      await client.open(PLAN, FED);
      const hints = await client.ask<InlayHint[]>('textDocument/inlayHint', PLAN, { range: whole });
      expect(hints.length).toBeGreaterThan(3);
      await client.until(() => client.registered.includes('workspace/didChangeConfiguration'));
    },
  );

  it.each([
    [{ text: 7 }, 'The editor has no last commit of this file.'],
    [null, 'The editor has no last commit of this file.'],
    [{ error: 'It was never committed.' }, 'It was never committed.'],
  ])('has no last commit where it says %j', async (answer, reason) => {
    client = await LanguageClient.inMemory({ files: benchFile() });
    client.connection.onRequest('festoon/committedFile', (): object | null => answer);
    await client.open(PLAN, FED);
    expect(await client.ask('festoon/review', PLAN)).toEqual({ reason });
  });

  it('compares with a last commit of which a used file is gone', async () => {
    client = await LanguageClient.inMemory({ files: benchFile() });
    client.connection.onRequest('festoon/committedFile', ({ uri }: { uri: string }): object =>
      uri.endsWith(PLAN) ? { text: FED } : { error: 'not committed' },
    );
    await client.open(PLAN, FED);
    const { paper } = await client.ask<{ paper: { blocks: unknown } }>('festoon/review', PLAN);
    // Without its parts nothing of it could be computed.
    expect(JSON.stringify(paper)).toContain('missing-file');
  });
});

describe('the page of codes', () => {
  const page = 'file:///festoon/CHECKS.md';
  const hrefs = async () => (await client.pull(PLAN)).map(({ codeDescription }) => codeDescription?.href);

  it('is led to by its line', async () => {
    const diagnostic = { ...MODERN.textDocument?.diagnostic, codeDescriptionSupport: true };
    const capabilities: ClientCapabilities = {
      ...MODERN,
      textDocument: {
        ...MODERN.textDocument,
        diagnostic,
        publishDiagnostics: { ...MODERN.textDocument?.publishDiagnostics, codeDescriptionSupport: true },
      },
    };
    client = await LanguageClient.inMemory({ capabilities, page });
    await client.open(PLAN, 'place a\nplace a\n');
    const [href = ''] = await hrefs();
    const [address, line] = href.split('#L');
    expect(address).toBe(page);
    const text = readFileSync(new URL('../../grammar/CHECKS.md', import.meta.url), 'utf8').split('\n');
    expect(text[Number(line) - 1]).toContain('duplicate-name');
  });

  it('is not named to a client that cannot show it', async () => {
    client = await LanguageClient.inMemory({ page });
    await client.open(PLAN, 'place a\nplace a\n');
    expect(await hrefs()).toEqual([undefined]);
  });
});

describe('what is asked for in part', () => {
  it('is that kind of actions alone', async () => {
    client = await LanguageClient.inMemory({ files: benchFile() });
    await client.open(PLAN, DISPLAY.replace('place roof', 'place roofs'));
    const actions = (only?: string[], triggerKind = 1) =>
      client.ask<CodeAction[]>('textDocument/codeAction', PLAN, {
        range: whole,
        context: { diagnostics: [], triggerKind, ...(only && { only }) },
      });
    const kinds = async (...only: string[]) => new Set((await actions(only)).map(({ kind }) => kind));
    expect(await kinds('quickfix')).toEqual(new Set(['quickfix']));
    expect(await kinds('source')).toEqual(new Set(['source.fixAll.festoon']));
    expect(await kinds('refactor.rewrite')).toEqual(new Set());
  });

  it('is nothing for a file that nobody has', async () => {
    client = await LanguageClient.inMemory();
    const params = { range: whole, context: { diagnostics: [] } };
    expect(await client.ask('textDocument/codeAction', 'gone.festoon', params)).toEqual([]);
  });

  it('shows why nothing helps only where the client can show a reason', async () => {
    // All of the run is marked so that no feed may be tapped in.
    const text = FED.replace('at roof {', 'at roof  no-tap {').replace('60 px', '260 px');
    const disabled = async (disabledSupport: boolean) => {
      const codeAction = { codeActionLiteralSupport: { codeActionKind: { valueSet: [] } }, disabledSupport };
      const capabilities = { ...MODERN, textDocument: { ...MODERN.textDocument, codeAction } };
      client = await LanguageClient.inMemory({ capabilities, files: benchFile() });
      await client.open(PLAN, text);
      const actions = await client.ask<CodeAction[]>('textDocument/codeAction', PLAN, {
        range: whole,
        context: { diagnostics: [], triggerKind: 1 },
      });
      return actions.flatMap((action) => action.disabled?.reason ?? []);
    };
    expect(await disabled(false)).toEqual([]);
    await client.close();
    expect(await disabled(true)).toContainEqual(expect.stringContaining('no-tap'));
  });
});

describe('what is shown of a plan', () => {
  it('has the kind of what it is', async () => {
    client = await LanguageClient.inMemory();
    await client.open('bench.festoon', BENCH);
    const symbols = await client.ask<DocumentSymbol[]>('textDocument/documentSymbol', 'bench.festoon');
    expect(symbols.find(({ name }) => name === 'steady-12')?.kind).toBe(SymbolKind.Class);
  });

  it('offers the choices of a phrase', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'plan "x" {\n  design-for \n}\n');
    const { items } = await client.ask<CompletionList>('textDocument/completion', PLAN, {
      position: client.at(PLAN, 'design-for ', 'behind'),
    });
    // LSP 3.17: 20 is a member of an enumeration.
    expect(items.map(({ label, kind }) => [label, kind])).toContainEqual(['full-white', 20]);
  });
});

describe('a completion that is to be described', () => {
  it.each([
    ['output', 'psu.9', undefined],
    ['output', 'psu.2', 'output psu.2'],
    ['port', 'gone.1', undefined],
    ['port', 'box.2', 'port box.2'],
    ['tap', 'gone[3]', undefined],
    ['tap', 'eaves[3]', 'pixel eaves[3]'],
    ['place', 'gone', undefined],
    ['place', 'shed', 'place shed'],
  ])('as %s %s is so where the plan has it', async (kind, name, head) => {
    client = await LanguageClient.inMemory({ files: benchFile() });
    await client.open(PLAN, DISPLAY);
    const item = { label: name, data: { uri: client.uri(PLAN), kind, name, start: 0 } };
    const { documentation } = await client.connection.sendRequest<CompletionItem>('completionItem/resolve', item);
    const text = typeof documentation === 'string' ? documentation : documentation?.value;
    if (head === undefined) expect(text).toBeUndefined();
    else expect(text?.replace(/[*`]/g, '')).toContain(head);
  });
});

describe('a file of two plans', () => {
  it('has once what both find in it', async () => {
    const plan = (title: string) => `plan "${title}" {\n  frame-rate 25 fps\n}\nuse "used.festoon"\n`;
    client = await LanguageClient.inMemory();
    await client.open('one.festoon', plan('one'));
    await client.open('two.festoon', plan('two'));
    await client.open('used.festoon', 'place a\nplace a\n');
    expect(await codes('used.festoon')).toEqual(['duplicate-name']);
  });
});

describe('a text with next to nothing in it', () => {
  it('has one place to select, and nothing to fold', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, '');
    const origin = { line: 0, character: 0 };
    expect(await client.ask('textDocument/selectionRange', PLAN, { positions: [origin] })).toEqual([
      { range: { start: origin, end: origin } },
    ]);
    // The closing brace stays in sight, so nothing would be hidden.
    await client.change(PLAN, 'prop a {\n}\n');
    expect(await client.ask('textDocument/foldingRange', PLAN)).toEqual([]);
    await client.change(PLAN, 'prop a {\n\n}\n');
    expect(await client.ask('textDocument/foldingRange', PLAN)).toEqual([{ startLine: 0, endLine: 1 }]);
  });

  it('has papers without rows', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'plan "x" {\n  frame-rate 25 fps\n}\n');
    const uri = `festoon-papers:plan?${encodeURIComponent(client.uri(PLAN))}`;
    const { text } = await client.connection.sendRequest<{ text: string }>('workspace/textDocumentContent', { uri });
    expect(text).toContain('# Parts list');
    expect(text).not.toMatch(/^\| --/m);
  });
});

describe('a request without parameters', () => {
  it('is answered with nothing, and the next one is served', async () => {
    client = await LanguageClient.inMemory();
    for (const params of [null, []]) {
      const asked = client.connection.sendRequest('festoon/explain', params).catch((error: Error) => error.message);
      expect(await asked).toMatch(/^festoon\/explain needs (?:parameters|code)$/);
    }
    expect(await client.connection.sendRequest('festoon/explain', { code: 'no-power' })).not.toBeNull();
  });
});

describe('documents that are made of a plan', () => {
  it('are followed up to twenty, the one asked for last among them', async () => {
    client = await LanguageClient.inMemory();
    const refreshed: string[] = [];
    client.connection.onRequest('workspace/textDocumentContent/refresh', ({ uri }: { uri: string }) => {
      refreshed.push(uri);
      return null;
    });
    const uris = Array.from(
      { length: 22 },
      (_, index) => `festoon-netlist:${index}.cir?${encodeURIComponent(client.uri(PLAN))}`,
    );
    await client.open(PLAN, DISPLAY);
    for (const uri of uris) await client.connection.sendRequest('workspace/textDocumentContent', { uri });
    await client.change(PLAN, `${DISPLAY}place barn\n`);
    for (const uri of uris.slice(2)) while (!refreshed.includes(uri)) await client.pull(PLAN);
    expect(new Set(refreshed)).toEqual(new Set(uris.slice(2)));
  });
});

describe('what is written but does not count', () => {
  it('is marked so, and what is wrong is not', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'place a\nplace a\nroute a to b  3 m  limit 2 cables  limit 3 cables\n');
    const found = await client.pull(PLAN);
    const tagged = found.map(({ code, tags }) => [code, tags?.includes(DiagnosticTag.Unnecessary) === true]);
    expect(tagged).toContainEqual(['said-twice', true]);
    expect(tagged).toContainEqual(['duplicate-name', false]);
  });
});

describe('a change on the disk', () => {
  it('of a file that is open does not count, whatever is written there', async () => {
    const files = new Map([['used.festoon', 'place shed\n']]);
    client = await LanguageClient.inMemory({ files });
    await client.open(PLAN, 'use "used.festoon"\nroute shed to roof  3 m\n');
    await client.open('used.festoon', 'place shed\nplace roof\n');
    await client.changedOnDisk('used.festoon', 2);
    expect(await codes(PLAN)).toEqual([]);
  });

  it('of a file outside of all folders counts where a plan uses it', async () => {
    const files = new Map([['used.festoon', 'place shed\n']]);
    client = await LanguageClient.inMemory({ files, folders: [] });
    await client.open(PLAN, 'use "used.festoon"\nroute shed to roof  3 m\n');
    expect(await codes(PLAN)).toEqual(['unknown-name']);
    files.set('used.festoon', 'place shed\nplace roof\n');
    await client.changedOnDisk('used.festoon', 2);
    expect(await codes(PLAN)).toEqual([]);
  });

  it('leaves a file with the first of two plans that use it, where neither was worked on', async () => {
    const plan = (title: string, place: string) =>
      `plan "${title}" {\n  frame-rate 25 fps\n}\nuse "routes.festoon"\nplace shed\nplace ${place}\n`;
    // The files are named against the order of their names.
    const files = new Map([
      ['b.festoon', plan('b', 'barn')],
      ['a.festoon', plan('a', 'roof')],
    ]);
    client = await LanguageClient.inMemory({ files });
    await client.open('routes.festoon', 'route shed to roof  3 m\n');
    const { contents } = await client.ask<{ contents: { value: string } }>('textDocument/hover', 'routes.festoon', {
      position: client.at('routes.festoon', 'roof'),
    });
    expect(contents.value).toContain('roof');
  });
});

describe('a caller of the hierarchy', () => {
  it.each([[null], [7], [{ plan: 1 }], [{ plan: 'x', kind: 'feed' }]])(
    'that is none of ours (%j) is refused',
    async (data) => {
      client = await LanguageClient.inMemory({ files: benchFile() });
      await client.open(PLAN, FED);
      const [item] = await client.ask<CallHierarchyItem[]>('textDocument/prepareCallHierarchy', PLAN, {
        position: client.at(PLAN, 'trunk'),
      });
      const asked = client.connection.sendRequest('callHierarchy/outgoingCalls', { item: { ...item, data } });
      await expect(asked).rejects.toThrow('the item is not one of this server');
    },
  );
});

describe('a client that is sent findings', () => {
  it('is sent those of a used file once, as long as they stay the same', async () => {
    const files = new Map([['used.festoon', 'place a\nplace a\n']]);
    client = await LanguageClient.inMemory({ capabilities: PLAIN, files });
    await client.open(PLAN, 'use "used.festoon"\n');
    await client.sentFor('used.festoon');
    await client.change(PLAN, 'use "used.festoon"\nplace b\nplace b\n');
    const { diagnostics } = await client.sentFor(PLAN, 2);
    expect(diagnostics.map(({ code }) => code)).toEqual(['duplicate-name']);
    await client.change(PLAN, 'use "used.festoon"\n');
    expect((await client.sentFor(PLAN, 3)).diagnostics).toEqual([]);
    expect(client.published.filter(({ uri }) => uri === client.uri('used.festoon'))).toHaveLength(1);
  });
});

describe('files that move', () => {
  it('change nothing where no plan uses them', async () => {
    client = await LanguageClient.inMemory({ files: benchFile() });
    await client.open(PLAN, FED);
    const rename = (name: string) =>
      client.connection.sendRequest('workspace/willRenameFiles', {
        files: [{ oldUri: client.uri(name), newUri: client.uri('parts/moved.festoon') }],
      });
    expect(await rename('unused.festoon')).toBeNull();
    expect(JSON.stringify(await rename('bench.festoon'))).toContain('parts/moved.festoon');
  });
});
