import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import { CancellationTokenSource, type CodeAction, type InlayHint } from 'vscode-languageserver';
import { DISPLAY, FED } from '../support/display.ts';
import { LanguageClient, positionIn } from '../support/language-client.ts';

/** What comes in between a question and its answer, and what a client asks that has lost count. */
const BENCH = new Map([['bench.festoon', readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8')]]);
const PLAN = 'plan.festoon';
/** Language server protocol 3.18: RequestCancelled and ContentModified. */
const [CANCELLED, MODIFIED] = [-32800, -32801];

let client: LanguageClient;
afterEach(() => client.close());

const start = { line: 0, character: 0 };
/** As an editor asks at each step of its cursor. */
const automatic = () => {
  const text = client.textOf(PLAN);
  const range = { start, end: positionIn(text, text.length) };
  return client.ask<CodeAction[]>('textDocument/codeAction', PLAN, {
    range,
    context: { diagnostics: [], triggerKind: 2 },
  });
};
const codeOf = (asked: Promise<unknown>) =>
  asked.then(
    () => 'answered',
    (error: { code: number }) => error.code,
  );

describe('fixes that an editor asks for by itself', () => {
  it('are given once the cursor rests', async () => {
    client = await LanguageClient.inMemory({ files: BENCH });
    await client.open(PLAN, DISPLAY);
    expect((await automatic()).map(({ title }) => title).length).toBeGreaterThan(0);
  });

  it('are for no text that has changed in between', async () => {
    client = await LanguageClient.inMemory({ files: BENCH });
    await client.open(PLAN, DISPLAY);
    const asked = codeOf(automatic());
    await client.change(PLAN, `${DISPLAY}place barn\n`);
    expect(await asked).toBe(MODIFIED);
  });

  it('are left when they are cancelled', async () => {
    client = await LanguageClient.inMemory({ files: BENCH });
    await client.open(PLAN, DISPLAY);
    const source = new CancellationTokenSource();
    const asked = codeOf(
      client.connection.sendRequest(
        'textDocument/codeAction',
        {
          textDocument: { uri: client.uri(PLAN) },
          range: { start, end: start },
          context: { diagnostics: [], triggerKind: 2 },
        },
        source.token,
      ),
    );
    source.cancel();
    expect(await asked).toBe(CANCELLED);
  });
});

describe('what is asked more about', () => {
  it('is given back as it was where the plan no longer has it', async () => {
    client = await LanguageClient.inMemory({ files: BENCH });
    await client.open(PLAN, DISPLAY);
    const range = { start, end: positionIn(DISPLAY, DISPLAY.length) };
    const hints = await client.ask<InlayHint[]>('textDocument/inlayHint', PLAN, { range });
    const hint = hints.find(({ data }) => data !== undefined);
    expect(hint).toBeDefined();
    const before = await client.connection.sendRequest<InlayHint>('inlayHint/resolve', hint ?? {});
    expect(before.tooltip).toBeDefined();
    await client.change(PLAN, 'place shed\n');
    expect(await client.connection.sendRequest('inlayHint/resolve', hint ?? {})).toEqual(hint);
    // One of another server has no data of ours.
    const foreign = { position: start, label: 'x' };
    expect(await client.connection.sendRequest('inlayHint/resolve', foreign)).toEqual(foreign);
    expect(await client.connection.sendRequest('completionItem/resolve', { label: 'x' })).toEqual({ label: 'x' });
  });
});

describe('the drawing of a run', () => {
  const drawn = async (params: object) =>
    (await client.ask<{ run?: string }>('festoon/drawing', PLAN, { view: 'run', width: 800, ...params })).run;

  it('is that of the run named, stood in, fed there, or else the first', async () => {
    client = await LanguageClient.inMemory({ files: BENCH });
    const second = 'run door  from box.2 {\n  lead 2 m  of data-18\n  string 5 px  of steady-12  every 100 mm\n}\n';
    await client.open(PLAN, `${FED}${second}feed porch  from psu.2  to door  1 m  of feed-14\n`);
    expect(await drawn({ run: 'door' })).toBe('door');
    expect(await drawn({ position: client.at(PLAN, 'string 5') })).toBe('door');
    expect(await drawn({ position: client.at(PLAN, 'feed porch') })).toBe('door');
    expect(await drawn({ position: client.at(PLAN, 'feed trunk') })).toBe('eaves');
    expect(await drawn({ position: client.at(PLAN, 'place roof') })).toBe('eaves');
    expect(await drawn({ run: 'nobody' })).toBe('eaves');
    expect(await drawn({})).toBe('eaves');
  });
});

describe('a client that names its folder in the old way, or none', () => {
  it.each([
    ['its root', 'file:///display'],
    ['nothing', null],
  ])('%s', async (_, rootUri) => {
    client = await LanguageClient.inMemory({ files: BENCH, initialize: { rootUri, workspaceFolders: null } });
    await client.open(PLAN, DISPLAY);
    // Files beside the plan are read all the same: they lie in its own folder.
    expect((await client.pull(PLAN)).map(({ code }) => code)).toEqual(['low-voltage']);
  });
});
