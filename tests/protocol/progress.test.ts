import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import {
  CancellationTokenSource,
  type ClientCapabilities,
  LSPErrorCodes,
  type WorkspaceDiagnosticReport,
} from 'vscode-languageserver';
import { FED } from '../support/display.ts';
import { type ClientOptions, LanguageClient, MODERN } from '../support/language-client.ts';

/** Work that takes long is told of, may be left, and lets others have their answers. */

const SERVER = fileURLToPath(new URL('../../dist/server.cjs', import.meta.url));
const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const SHOWING: ClientCapabilities = { ...MODERN, window: { workDoneProgress: true } };
const PLANS = new Map(['a', 'b', 'c'].map((name) => [`${name}.festoon`, `plan "${name}" {\n}\nplace x\nplace x\n`]));

let client: LanguageClient;
afterEach(() => client.close());

/** The second file is kept back from when `shut` is called until `open` is. */
class Gate {
  private opened: Promise<void> | undefined;
  open: () => void = () => undefined;

  shut(): void {
    this.opened = new Promise((resolve) => {
      this.open = resolve;
    });
  }

  readonly beforeFile = (path: string) => (path === 'b.festoon' ? this.opened : undefined);
}

/** The built server as a process of its own. */
const spawned = (options: ClientOptions) => LanguageClient.spawned(process.execPath, [SERVER, '--stdio'], options);

/** Which plan a file belongs to that is none itself is known only when all files are. */
const hasListed = () => client.pull('none.festoon');

const toldUnder = (token: unknown) =>
  client.progress.flatMap(({ token: own, value }) => (own === token && value.kind !== undefined ? [value] : []));
const hasBegun = (token: unknown) => client.until(() => toldUnder(token).some(({ kind }) => kind === 'begin'));

describe('the first reading of a workspace', () => {
  it('is told of while files are long in coming', async () => {
    const gate = new Gate();
    gate.shut();
    client = await spawned({ capabilities: SHOWING, files: PLANS, beforeFile: gate.beforeFile });
    const token = await client.until(() => client.created[0]);
    await hasBegun(token);
    gate.open();
    await client.until(() => toldUnder(token).at(-1)?.kind === 'end');
    const amount = { message: '2 of 3', percentage: 66 };
    const title = 'Festoon: reading plans';
    expect(toldUnder(token)[0]).toEqual({ kind: 'begin', title, cancellable: false, ...amount });
    expect(client.created).toHaveLength(1);
  });
});

describe('the findings of a workspace', () => {
  const checking = (more: object, source = new CancellationTokenSource()) =>
    client.connection.sendRequest<WorkspaceDiagnosticReport>(
      'workspace/diagnostic',
      { previousResultIds: [], ...more },
      source.token,
    );
  const urisIn = (reports: readonly unknown[]) =>
    reports.map((report) => (report as { uri: string }).uri.split('/').at(-1)).sort();

  it('come with word of how far they are, and in parts, where the client gives tokens', async () => {
    const gate = new Gate();
    client = await spawned({ files: PLANS, beforeFile: gate.beforeFile });
    await hasListed();
    gate.shut();
    const answer = checking({ workDoneToken: 'mine', partialResultToken: 7 });
    await hasBegun('mine');
    gate.open();
    expect(await answer).toEqual({ items: [] });
    const [begin, ...more] = toldUnder('mine');
    expect(begin).toMatchObject({ kind: 'begin', title: 'Festoon: checking plans' });
    expect(more.at(-1)).toEqual({ kind: 'end' });
    const parts = client.progress.flatMap(({ token, value }) => (token === 7 ? (value.items ?? []) : []));
    expect(urisIn(parts)).toEqual(['a.festoon', 'b.festoon', 'c.festoon']);
    expect(client.created).toEqual([]);
  });

  it('are told of unasked where the client shows that', async () => {
    const gate = new Gate();
    client = await LanguageClient.inMemory({ capabilities: SHOWING, files: PLANS, beforeFile: gate.beforeFile });
    await hasListed();
    gate.shut();
    const answer = checking({});
    const token = await client.until(() => client.created.at(-1));
    await hasBegun(token);
    gate.open();
    expect(urisIn((await answer).items)).toEqual(['a.festoon', 'b.festoon', 'c.festoon']);
    expect(toldUnder(token).map(({ kind }) => kind)).toEqual(['begin', 'end']);
    expect(toldUnder(token)[0]).toMatchObject({ title: 'Festoon: checking plans', percentage: 33, message: '1 of 3' });
  });

  it('leave room for other answers, and are left where they are cancelled', async () => {
    const paths = Array.from({ length: 60 }, (_, n) => `${n}.festoon`);
    client = await spawned({ files: new Map([['bench.festoon', BENCH]]) });
    // Of open files none has to be waited for, so nothing else would come in between.
    for (const [n, path] of paths.entries()) await client.open(path, FED.replaceAll('60 px', `${40 + n} px`));
    await client.pull('0.festoon');
    const order: string[] = [];
    const all = checking({}).then(() => order.push('all'));
    const one = client.pull('0.festoon').then(() => order.push('one'));
    await Promise.all([all, one]);
    expect(order).toEqual(['one', 'all']);

    for (const path of paths) await client.change(path, `${client.textOf(path)}place barn\n`);
    const source = new CancellationTokenSource();
    const left = checking({}, source);
    source.cancel();
    await expect(left).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
  });
});

describe('the papers of a display', () => {
  const BOATHOUSE = new URL('../../samples/boathouse/', import.meta.url);
  const files = new Map(
    ['plan', 'house', 'yard', 'quay', 'parts'].map((name) => [
      `${name}.festoon`,
      readFileSync(new URL(`${name}.festoon`, BOATHOUSE), 'utf8'),
    ]),
  );

  it('leave room for other answers, and are left where they are cancelled', async () => {
    client = await spawned({ files });
    await client.open('plan.festoon', files.get('plan.festoon') ?? '');
    expect(await client.pull('plan.festoon')).toEqual([]);
    const order: string[] = [];
    const papers = client.ask('festoon/report', 'plan.festoon').then(() => order.push('papers'));
    const findings = client.pull('plan.festoon').then(() => order.push('findings'));
    await Promise.all([papers, findings]);
    expect(order).toEqual(['findings', 'papers']);

    const source = new CancellationTokenSource();
    const textDocument = { uri: client.uri('plan.festoon') };
    const left = client.connection.sendRequest('festoon/report', { textDocument }, source.token);
    source.cancel();
    await expect(left).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
  });
});
