import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import type {
  CallHierarchyIncomingCall,
  CallHierarchyItem,
  CodeAction,
  CodeLens,
  CompletionItem,
  CompletionList,
  SignatureHelp,
  TextEdit,
  WorkspaceEdit,
} from 'vscode-languageserver';
import { DISPLAY, FED } from '../support/display.ts';
import { LanguageClient, MODERN, withEdits } from '../support/language-client.ts';

const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const PLAN = 'plan.festoon';

let client: LanguageClient;
afterEach(() => client.close());

async function started(text: string, options: { commands?: string[]; explains?: string } = {}) {
  client = await LanguageClient.inMemory({
    files: new Map([
      ['bench.festoon', BENCH],
      ['parts/more.festoon', ''],
    ]),
    capabilities: {
      ...MODERN,
      textDocument: {
        ...MODERN.textDocument,
        completion: { completionItem: { insertReplaceSupport: true } },
        signatureHelp: {
          signatureInformation: {
            parameterInformation: { labelOffsetSupport: true },
            noActiveParameterSupport: true,
          },
        },
      },
      workspace: { ...MODERN.workspace, fileOperations: { willRename: true } },
    },
    initializationOptions: options,
  });
  await client.open(PLAN, text);
}

describe('what a line takes', () => {
  it('is shown while it is written', async () => {
    await started(`${FED}feed second  from psu.1 \n`);
    const help = await client.ask<SignatureHelp>('textDocument/signatureHelp', PLAN, {
      position: client.at(PLAN, 'second  from psu.1 ', 'behind'),
    });
    expect(help.signatures[0]?.label).toMatch(/^feed NAME {2}\["LABEL"\] {2}from OUTPUT {2}\[to JOINT\]/);
  });

  it('is marked as far as something is due', async () => {
    const active = async (line: string) => {
      await client.change(PLAN, line);
      const position = client.at(PLAN, line, 'behind');
      return (await client.ask<SignatureHelp>('textDocument/signatureHelp', PLAN, { position })).activeParameter;
    };
    await started('');
    expect(await active('place ')).toBe(0);
    expect(await active('place shed ')).toBe(1);
    expect(await active('place shed "Shed" ')).toBeNull();
  });
});

describe('completion', () => {
  it('leads to files', async () => {
    await started('use ""\n');
    const list = await client.ask<CompletionList>('textDocument/completion', PLAN, {
      position: { line: 0, character: 5 },
      context: { triggerKind: 2, triggerCharacter: '"' },
    });
    expect(list.items.map(({ label }) => label)).toEqual(['bench.festoon', 'parts/more.festoon']);
  });

  it('takes the rest of a word along where the client lets a person choose', async () => {
    await started(FED);
    const position = client.at(PLAN, 'of feed', 'behind');
    const list = await client.ask<CompletionList>('textDocument/completion', PLAN, { position });
    const cable = list.items.find(({ label }) => label === 'feed-14');
    const start = client.at(PLAN, 'feed-14');
    expect(cable?.textEdit).toEqual({
      newText: 'feed-14',
      insert: { start, end: position },
      replace: { start, end: client.at(PLAN, 'feed-14', 'behind') },
    });
  });

  it('tells what a cable would do, when a person looks at it', async () => {
    await started(FED.replace('10 m  of feed-14', '10 m  of '));
    const list = await client.ask<CompletionList>('textDocument/completion', PLAN, {
      position: client.at(PLAN, 'eaves  10 m  of ', 'behind'),
    });
    const cable = list.items.find(({ label }) => label === 'feed-14');
    const resolved = await client.connection.sendRequest<CompletionItem>('completionItem/resolve', cable);
    // The drop of 0.68 V is reckoned in tests/support/display.ts.
    expect(resolved.detail).toMatch(/^−0\.68 V in the feed; eaves gets [\d.]+ V at pixel 100$/);
  });

  it.each([
    ['feed', 'trunk'],
    ['run', 'eaves'],
  ])('tells nothing of a place at which the name of a %s stands by now', async (word, name) => {
    await started(FED);
    const line = `${word} ${name}`;
    const start = client.textOf(PLAN).indexOf(line) + word.length + 1;
    const cable = { label: 'feed-14', data: { uri: client.uri(PLAN), kind: 'cable', name: 'feed-14', start } };
    const resolved = await client.connection.sendRequest<CompletionItem>('completionItem/resolve', cable);
    expect(resolved.detail).toBeUndefined();
    expect(JSON.stringify(resolved.documentation)).toContain('feed-14');
  });
});

describe('lenses', () => {
  it('lead to places in clients that have the command for it', async () => {
    await started(FED, { commands: ['festoon.showPlaces'] });
    const lenses = await client.ask<CodeLens[]>('textDocument/codeLens', PLAN);
    const over = lenses.find(({ command }) => command?.title === 'driven by box · fed by trunk');
    expect(over?.command?.command).toBe('festoon.showPlaces');
    expect(over?.command?.arguments?.[2]).toHaveLength(2);
  });

  it('are plain text in others', async () => {
    await started(FED);
    const lenses = await client.ask<CodeLens[]>('textDocument/codeLens', PLAN);
    expect(lenses.length).toBeGreaterThan(2);
    expect(new Set(lenses.map(({ command }) => command?.command))).toEqual(new Set(['']));
  });
});

describe('the way of the power', () => {
  it('is a call hierarchy', async () => {
    await started(FED);
    const [run] = await client.ask<CallHierarchyItem[]>('textDocument/prepareCallHierarchy', PLAN, {
      position: client.at(PLAN, 'eaves'),
    });
    const above = await client.connection.sendRequest<CallHierarchyIncomingCall[]>('callHierarchy/incomingCalls', {
      item: run,
    });
    expect(above.map(({ from }) => from.name)).toEqual(['trunk', 'box']);
    expect(above[0]?.fromRanges.length).toBe(1);
    const below = await client.connection.sendRequest<{ to: CallHierarchyItem }[]>('callHierarchy/outgoingCalls', {
      item: above[0]?.from,
    });
    expect(below.map(({ to }) => to.name)).toEqual(['eaves']);
  });
});

describe('formatting', () => {
  it('of a range, of several and while typing', async () => {
    await started('place   shed\nplace   roof\n');
    const edits = await client.ask<TextEdit[]>('textDocument/rangeFormatting', PLAN, {
      range: { start: { line: 1, character: 0 }, end: { line: 1, character: 3 } },
      options: { tabSize: 2, insertSpaces: true },
    });
    expect(withEdits(client.textOf(PLAN), edits)).toBe('place   shed\nplace roof\n');
    const line = (at: number) => ({ start: { line: at, character: 0 }, end: { line: at, character: 3 } });
    const several = await client.ask<TextEdit[]>('textDocument/rangesFormatting', PLAN, {
      ranges: [line(1), line(0)],
      options: { tabSize: 2, insertSpaces: true },
    });
    expect(withEdits(client.textOf(PLAN), several)).toBe('place shed\nplace roof\n');
    const typed = await client.ask<TextEdit[]>('textDocument/onTypeFormatting', PLAN, {
      position: { line: 1, character: 0 },
      ch: '\n',
      options: { tabSize: 2, insertSpaces: true },
    });
    expect(withEdits(client.textOf(PLAN), typed)).toBe('place shed\nplace   roof\n');
  });
});

describe('a file that gets another name', () => {
  it('is still used by its plan', async () => {
    await started(DISPLAY);
    const edit = await client.connection.sendRequest<WorkspaceEdit>('workspace/willRenameFiles', {
      files: [{ oldUri: client.uri('bench.festoon'), newUri: client.uri('stock/bench 2.festoon') }],
    });
    await client.apply(edit);
    expect(client.textOf(PLAN)).toMatch(/^use "stock\/bench 2\.festoon"/);
  });
});

describe('refactorings', () => {
  const actions = (triggerKind: number, only?: string[]) =>
    client.ask<CodeAction[]>('textDocument/codeAction', PLAN, {
      range: { start: client.at(PLAN, 'gutter'), end: client.at(PLAN, 'gutter') },
      context: { diagnostics: [], triggerKind, ...(only === undefined ? {} : { only }) },
    });

  it('are offered when a person asks, and change nothing that is computed', async () => {
    await started(DISPLAY);
    expect((await actions(1, ['refactor'])).map(({ title, kind }) => [title, kind])).toEqual([
      ['Make it a prop: gutter', 'refactor.extract'],
    ]);
    const kinds = async (trigger: number) => (await actions(trigger)).map(({ kind }) => kind);
    expect(await kinds(1)).toContain('refactor.extract');
    expect(await kinds(2)).not.toContain('refactor.extract');
  });
});

describe('a code', () => {
  it('leads to its explanation where the client shows one', async () => {
    await started(DISPLAY, { explains: 'festoon-explain' });
    const [low] = await client.pull(PLAN);
    expect(low?.codeDescription?.href).toBe('festoon-explain:low-voltage.md');
    const page = await client.connection.sendRequest<{ markdown: string }>('festoon/explain', { code: 'low-voltage' });
    expect(page.markdown).toMatch(/^# low-voltage\n/);
    expect(await client.connection.sendRequest('festoon/explain', { code: 'nonsense' })).toBeNull();
  });

  it('leads nowhere in others', async () => {
    await started(DISPLAY);
    expect((await client.pull(PLAN))[0]?.codeDescription).toBeUndefined();
  });
});
