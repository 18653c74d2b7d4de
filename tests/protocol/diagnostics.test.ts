import { afterEach, describe, expect, it } from 'vitest';
import type { DocumentDiagnosticReport, WorkspaceDiagnosticReport } from 'vscode-languageserver';
import { LanguageClient, MODERN, PLAIN } from '../support/language-client.ts';

const PLAN = 'plan.festoon';
const PARTS = 'parts.festoon';
const USES = `plan "x" {\n  frame-rate 25 fps\n}\nuse "${PARTS}"\nroute shed to roof  3 m\n`;

let client: LanguageClient;
afterEach(() => client.close());

const codes = (items: readonly { code?: unknown }[]) => items.map(({ code }) => code);

describe('findings that the client asks for', () => {
  it('are not sent unasked', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'place a\nplace a\n');
    expect(codes(await client.pull(PLAN))).toEqual(['duplicate-name']);
    await client.closeFile(PLAN);
    await client.pull(PLAN);
    expect(client.published).toEqual([]);
    expect(client.initialized.capabilities.diagnosticProvider).toMatchObject({
      interFileDependencies: true,
      workspaceDiagnostics: true,
    });
  });

  it('are the same as before as long as nothing about them changes', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'place a\nplace a\n');
    const first = await client.ask<DocumentDiagnosticReport>('textDocument/diagnostic', PLAN);
    const again = await client.ask<DocumentDiagnosticReport>('textDocument/diagnostic', PLAN, {
      previousResultId: first.resultId,
    });
    expect(again).toEqual({ kind: 'unchanged', resultId: first.resultId });
    await client.change(PLAN, 'place a\n\nplace a\n');
    const moved = await client.ask<DocumentDiagnosticReport>('textDocument/diagnostic', PLAN, {
      previousResultId: first.resultId,
    });
    expect(moved.kind).toBe('full');
  });

  it('wait for the files that a plan uses', async () => {
    client = await LanguageClient.inMemory({ files: new Map([[PARTS, 'place shed\nplace roof\n']]) });
    await client.open(PLAN, USES);
    expect(await client.pull(PLAN)).toEqual([]);
  });

  it('change when a used file appears later, which the client is told', async () => {
    client = await LanguageClient.inMemory({ files: new Map() });
    await client.until(() => client.registered.includes('workspace/didChangeWatchedFiles'));
    await client.open(PLAN, USES);
    expect(codes(await client.pull(PLAN))).toEqual(['missing-file']);
    client.files.set(PARTS, 'place shed\nplace roof\n');
    const before = client.refreshes;
    await client.changedOnDisk(PARTS, 1);
    await client.until(() => client.refreshes > before);
    expect(await client.pull(PLAN)).toEqual([]);
  });

  it('change when a used file is changed or removed on the disk', async () => {
    client = await LanguageClient.inMemory({ files: new Map([[PARTS, 'place shed\nplace roof\n']]) });
    await client.open(PLAN, USES);
    expect(await client.pull(PLAN)).toEqual([]);
    client.files.set(PARTS, 'place shed\n');
    await client.changedOnDisk(PARTS, 2);
    expect(codes(await client.pull(PLAN))).toEqual(['unknown-name']);
    client.files.delete(PARTS);
    await client.changedOnDisk(PARTS, 3);
    expect(codes(await client.pull(PLAN))).toEqual(['missing-file']);
  });

  it('count the unsaved text of a used file, and after closing it the saved one', async () => {
    client = await LanguageClient.inMemory({ files: new Map([[PARTS, 'place shed\nplace roof\n']]) });
    await client.open(PLAN, USES);
    await client.open(PARTS, 'place shed\n');
    expect(codes(await client.pull(PLAN))).toEqual(['unknown-name']);
    await client.closeFile(PARTS);
    expect(await client.pull(PLAN)).toEqual([]);
  });

  it('of a used file come from the plan that uses it, open or not', async () => {
    const files = new Map([
      [PLAN, USES],
      ['places.festoon', 'place shed\nplace roof\n'],
      [PARTS, 'use "places.festoon"\nroute shed to roof  4 m\n'],
      ['alone.festoon', 'route shed to roof  4 m\n'],
    ]);
    client = await LanguageClient.inMemory({ files });
    await client.open('places.festoon', files.get('places.festoon') ?? '');
    await client.open(PARTS, `${files.get(PARTS)}route roof to nowhere  1 m\n`);
    expect(codes(await client.pull(PARTS))).toEqual(['unknown-name']);
    await client.open('alone.festoon', files.get('alone.festoon') ?? '');
    expect(codes(await client.pull('alone.festoon'))).toEqual(['unknown-name', 'unknown-name']);
  });

  it('of a file that relies on names of the plan above it are none', async () => {
    const files = new Map([
      [PLAN, `plan "x" {\n  frame-rate 25 fps\n}\nplace shed\nplace roof\nuse "routes.festoon"\n`],
      ['routes.festoon', 'route shed to roof  3 m\n'],
    ]);
    client = await LanguageClient.inMemory({ files });
    await client.open('routes.festoon', files.get('routes.festoon') ?? '');
    expect(await client.pull('routes.festoon')).toEqual([]);
  });

  it('keep to the folder that holds the file, whichever folders are open', async () => {
    client = await LanguageClient.inMemory({
      folders: ['file:///display/one', 'file:///display/two'],
      files: new Map([['two/places.festoon', 'place shed\n']]),
    });
    const text = 'use "../two/places.festoon"\nplace roof\nroute shed to roof  3 m\n';
    await client.open('one/plan.festoon', text);
    expect(codes(await client.pull('one/plan.festoon'))).toContain('file-outside');
    await client.connection.sendNotification('workspace/didChangeWorkspaceFolders', {
      event: {
        added: [{ uri: 'file:///display', name: 'all' }],
        removed: [{ uri: 'file:///display/one', name: 'one' }],
      },
    });
    expect(await client.pull('one/plan.festoon')).toEqual([]);
  });

  it('of all files of the workspace can be had at once, and end when a file goes', async () => {
    const files = new Map([
      [PLAN, USES],
      [PARTS, 'place shed\nplace shed\nplace roof\n'],
    ]);
    client = await LanguageClient.inMemory({ files });
    const ask = (previousResultIds: { uri: string; value: string }[]) =>
      client.connection.sendRequest<WorkspaceDiagnosticReport>('workspace/diagnostic', { previousResultIds });
    const first = await ask([]);
    expect(first.items.map(({ uri, kind, ...rest }) => [uri, kind, 'items' in rest ? codes(rest.items) : []])).toEqual([
      [client.uri(PLAN), 'full', []],
      [client.uri(PARTS), 'full', ['duplicate-name']],
    ]);
    const known = first.items.map(({ uri, resultId }) => ({ uri, value: resultId ?? '' }));
    expect((await ask(known)).items.map(({ kind }) => kind)).toEqual(['unchanged', 'unchanged']);
    files.delete(PARTS);
    await client.changedOnDisk(PARTS, 3);
    const after = await ask(known);
    expect(after.items.map(({ uri, ...rest }) => [uri, 'items' in rest ? codes(rest.items) : rest.kind])).toEqual([
      [client.uri(PLAN), ['missing-file']],
      [client.uri(PARTS), []],
    ]);
  });
});

describe('findings for clients that do not ask', () => {
  const options = { capabilities: PLAIN };

  it('are sent with the version they are for', async () => {
    client = await LanguageClient.inMemory(options);
    await client.open(PLAN, 'place a\nplace a\n');
    expect(codes((await client.sentFor(PLAN, 1)).diagnostics)).toEqual(['duplicate-name']);
    await client.change(PLAN, 'place a\n');
    expect((await client.sentFor(PLAN, 2)).diagnostics).toEqual([]);
    expect(client.initialized.capabilities.diagnosticProvider).toBeUndefined();
  });

  it('are never those of an older text', async () => {
    client = await LanguageClient.inMemory(options);
    await client.open(PLAN, 'place a\n');
    for (let index = 0; index < 20; index++)
      await client.change(PLAN, index % 2 === 0 ? 'place a\nplace a\n' : 'place a\n');
    expect((await client.sentFor(PLAN, 21)).diagnostics).toEqual([]);
    for (const sent of client.published) expect(sent.diagnostics).toHaveLength((sent.version ?? 0) % 2 === 0 ? 1 : 0);
  });

  it('end when the file is closed', async () => {
    client = await LanguageClient.inMemory(options);
    await client.open(PLAN, 'place a\nplace a\n');
    await client.sentFor(PLAN, 1);
    await client.closeFile(PLAN);
    const cleared = await client.until(() => client.published.find((sent) => sent.diagnostics.length === 0));
    expect(cleared).toEqual({ uri: client.uri(PLAN), diagnostics: [] });
  });

  it('of a file that an open plan uses are sent, and end with the plan', async () => {
    client = await LanguageClient.inMemory({
      ...options,
      files: new Map([[PARTS, 'place shed\nplace shed\nplace roof\n']]),
    });
    await client.open(PLAN, USES);
    expect(codes((await client.sentFor(PARTS)).diagnostics)).toEqual(['duplicate-name']);
    await client.closeFile(PLAN);
    await client.until(
      () => client.published.findLast((sent) => sent.uri === client.uri(PARTS))?.diagnostics.length === 0,
    );
  });

  it('of a file that is removed end', async () => {
    const files = new Map([[PARTS, 'place shed\nplace shed\nplace roof\n']]);
    client = await LanguageClient.inMemory({ ...options, files });
    await client.open(PLAN, USES);
    await client.sentFor(PARTS);
    files.delete(PARTS);
    await client.changedOnDisk(PARTS, 3);
    await client.until(
      () => client.published.findLast((sent) => sent.uri === client.uri(PARTS))?.diagnostics.length === 0,
    );
    const plan = await client.until(() =>
      client.published.findLast((sent) => sent.uri === client.uri(PLAN) && sent.diagnostics.length > 0),
    );
    expect(codes(plan.diagnostics)).toContain('missing-file');
  });

  it('leave out what the client cannot show', async () => {
    client = await LanguageClient.inMemory({ capabilities: { textDocument: { publishDiagnostics: {} } } });
    await client.open(PLAN, 'place a\nplace a\n');
    const { diagnostics } = await client.sentFor(PLAN, 1);
    expect(diagnostics[0]?.relatedInformation).toBeUndefined();
    expect(MODERN.textDocument?.diagnostic?.relatedInformation).toBe(true);
  });
});

describe('files that use each other in a circle, none of them a plan', () => {
  const circle = () =>
    new Map([
      ['a.festoon', 'use "b.festoon"\nplace shed\n'],
      ['b.festoon', 'use "a.festoon"\nplace roof\n'],
      ['c.festoon', 'place yard\n'],
    ]);

  it.each(['a.festoon', 'b.festoon'])('are told of in %s, whichever is open', async (path) => {
    const files = circle();
    client = await LanguageClient.inMemory({ files });
    await client.open(path, files.get(path) ?? '');
    expect((await client.pull(path)).map(({ code, range }) => [code, range.start.line])).toEqual([['file-cycle', 0]]);
    const report = await client.connection.sendRequest<{ items: { uri: string; items: { code: string }[] }[] }>(
      'workspace/diagnostic',
      { previousResultIds: [] },
    );
    const told = report.items.flatMap(({ uri, items }) => items.map(({ code }) => `${uri.split('/').at(-1)} ${code}`));
    expect(told.sort()).toEqual(['a.festoon file-cycle', 'b.festoon file-cycle']);
  });
});
