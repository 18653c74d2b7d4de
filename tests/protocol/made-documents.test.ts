import { afterEach, describe, expect, it } from 'vitest';
import type { CodeAction, InlayHint, InlayHintLabelPart, WorkspaceEdit } from 'vscode-languageserver';
import { FOLDER, LanguageClient, MODERN } from '../support/language-client.ts';
import { SMALL } from '../unit/cli/console.ts';

const PLAN = 'plan.festoon';
let client: LanguageClient;
afterEach(() => client.close());

const contentOf = async (uri: string) =>
  (await client.connection.sendRequest<{ text: string }>('workspace/textDocumentContent', { uri })).text;

const made = (scheme: string, path = PLAN) => `${scheme}:plan?${encodeURIComponent(FOLDER + path)}`;

describe('documents that are made of a plan', () => {
  it('are its circuit as a deck and its papers, and are asked for again when it changes', async () => {
    client = await LanguageClient.inMemory();
    const refreshed = new Promise<string>((resolve) => {
      client.connection.onRequest('workspace/textDocumentContent/refresh', ({ uri }: { uri: string }) => {
        resolve(uri);
        return null;
      });
    });
    await client.open(PLAN, SMALL);
    expect(await contentOf(made('festoon-netlist'))).toMatch(/^\.end$/m);
    const papers = await contentOf(made('festoon-papers'));
    expect(papers).toMatch(/^Mains parts are for a licensed electrician/);
    for (const title of ['# Parts list', '# Cut list', '# Order of work']) expect(papers).toContain(title);
    await client.open(PLAN, SMALL.replace('10 px', '12 px'));
    await client.change(PLAN, SMALL.replace('10 px', '11 px'));
    expect([made('festoon-netlist'), made('festoon-papers')]).toContain(await refreshed);
  });

  it('say so where there is none, whatever the address', async () => {
    client = await LanguageClient.inMemory();
    for (const uri of [
      'festoon-netlist:plan',
      'festoon-papers:a?%',
      'file:///etc/passwd',
      'festoon-papers:?',
      '',
      made('festoon-papers', 'absent.festoon'),
    ])
      expect(await contentOf(uri)).toBe('There is no such plan.\n');
  });

  it('show a label as the text that it is', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, SMALL.replace('plan "', 'plan "![x](https://example.invalid/x.png) | '));
    const papers = await contentOf(made('festoon-papers'));
    expect(papers.replaceAll(/\\./g, '')).not.toMatch(/!\[|\]\(/);
  });
});

describe('edits in several files', () => {
  const capabilities = {
    ...MODERN,
    workspace: {
      ...MODERN.workspace,
      workspaceEdit: { documentChanges: true, changeAnnotationSupport: { groupsOnLabel: true } },
    },
  };
  const rename = () =>
    client.ask<WorkspaceEdit>('textDocument/rename', PLAN, { position: client.at(PLAN, 'shed'), newName: 'hut' });
  const files = () =>
    new Map([
      ['parts.festoon', 'place shed\nplace roof\n'],
      [PLAN, 'plan "one"\nuse "parts.festoon"\nroute shed to roof  3 m\n'],
    ]);

  it('are confirmed where nobody has the file in sight', async () => {
    client = await LanguageClient.inMemory({ files: files(), capabilities });
    await client.open(PLAN, files().get(PLAN) ?? '');
    const { documentChanges = [], changeAnnotations = {} } = await rename();
    const confirmed = documentChanges.map((change) =>
      'edits' in change
        ? [
            change.textDocument.uri.split('/').at(-1),
            change.edits.map((edit) =>
              'annotationId' in edit ? changeAnnotations[edit.annotationId]?.needsConfirmation : undefined,
            ),
          ]
        : [],
    );
    expect(confirmed.sort()).toEqual([
      ['parts.festoon', [true]],
      [PLAN, [false]],
    ]);
  });

  it('are plain ones for a client that shows no reasons, and in one file', async () => {
    client = await LanguageClient.inMemory({ files: files() });
    await client.open(PLAN, files().get(PLAN) ?? '');
    expect((await rename()).changeAnnotations).toBeUndefined();
    await client.close();
    client = await LanguageClient.inMemory({ capabilities });
    await client.open(PLAN, 'plan "one"\nplace shed\nplace roof\nroute shed to roof  3 m\n');
    expect((await rename()).changeAnnotations).toBeUndefined();
  });
});

describe('a figure beside a line', () => {
  it('leads to what it is about', async () => {
    const inlayHint = { resolveSupport: { properties: ['tooltip', 'label.location'] } };
    const capabilities = { ...MODERN, textDocument: { ...MODERN.textDocument, inlayHint } };
    client = await LanguageClient.inMemory({ capabilities });
    await client.open(PLAN, SMALL);
    const line = SMALL.split('\n').findIndex((text) => text.startsWith('feed '));
    const range = { start: { line, character: 0 }, end: { line: line + 1, character: 0 } };
    const [hint] = await client.ask<InlayHint[]>('textDocument/inlayHint', PLAN, { range });
    const { label } = await client.connection.sendRequest<InlayHint>('inlayHint/resolve', hint);
    const [part] = label as InlayHintLabelPart[];
    expect(part?.value).toMatch(/A, −/);
    const output = SMALL.split('\n').findIndex((text) => /^ +outputs? /.test(text));
    expect(part?.location?.range.start.line).toBe(output);
  });
});

describe('a name that nothing has', () => {
  const withSnippets = {
    ...MODERN,
    workspace: { ...MODERN.workspace, workspaceEdit: { documentChanges: true, snippetEditSupport: true } },
  };
  const offers = async (capabilities: typeof MODERN) => {
    client = await LanguageClient.inMemory({ capabilities });
    await client.open(PLAN, 'plan "one"\nplace shed\nroute shed to roof  3 m\n');
    const range = { start: client.at(PLAN, 'roof'), end: client.at(PLAN, 'roof', 'behind') };
    const actions = await client.ask<CodeAction[]>('textDocument/codeAction', PLAN, {
      range,
      context: { diagnostics: [] },
    });
    return actions.filter(({ title }) => title === 'Declare place roof, to be filled in');
  };

  it('is declared with places to be tabbed through, where the editor can do that', async () => {
    const [offer] = await offers(withSnippets);
    expect(offer?.diagnostics?.map(({ code }) => code)).toEqual(['unknown-name']);
    const [change] = offer?.edit?.documentChanges ?? [];
    const end = { line: 1, character: 'place shed'.length };
    expect(change).toEqual({
      textDocument: { uri: client.uri(PLAN), version: 1 },
      edits: [
        {
          range: { start: end, end },
          snippet: { kind: 'snippet', value: expect.stringMatching(/^\nplace roof "\$\{1:[^}]+\}"\$0$/) },
        },
      ],
    });
  });

  it('is left to the person in any other editor', async () => {
    expect(await offers(MODERN)).toEqual([]);
  });
});
