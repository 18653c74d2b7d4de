import { afterEach, describe, expect, it } from 'vitest';
import type { ClientCapabilities, CodeAction } from 'vscode-languageserver';
import { ErrorCodes, LSPErrorCodes } from 'vscode-languageserver';
import { LanguageClient, MODERN } from '../support/language-client.ts';
import { longRunPlan } from '../support/long-run-plan.ts';

/** Alternatives of a computed fix are tried on the plan as a whole, and get their edit, when a person takes one. */

const PLAN = 'plan.festoon';
const STOCK = 'stock.festoon';
/** Either supply can feed the run; the second one is further off. */
const TEXT = longRunPlan({ strings: 10, brightness: 15, rated: 80, supplies: 2 });

const RESOLVING: ClientCapabilities = {
  ...MODERN,
  textDocument: {
    ...MODERN.textDocument,
    codeAction: { ...MODERN.textDocument?.codeAction, dataSupport: true, resolveSupport: { properties: ['edit'] } },
  },
};

let client: LanguageClient;
afterEach(() => client.close());

async function injections(text: string, capabilities = RESOLVING): Promise<CodeAction[]> {
  client = await LanguageClient.inMemory({ capabilities, files: new Map([[STOCK, 'place quay\n']]) });
  await client.open(PLAN, text);
  const [dark] = (await client.pull(PLAN)).filter(({ code }) => code === 'no-power');
  if (dark === undefined) throw new Error('the run has power');
  const context = { diagnostics: [dark] };
  const actions = await client.ask<CodeAction[]>('textDocument/codeAction', PLAN, { range: dark.range, context });
  return actions.filter(({ title }) => title.startsWith('Inject at'));
}

const resolve = (action: CodeAction | undefined) =>
  client.connection.sendRequest<CodeAction>('codeAction/resolve', action);

async function codes(): Promise<unknown[]> {
  return (await client.pull(PLAN)).map(({ code }) => code);
}

describe('a client that asks for edits later', () => {
  it('gets the alternatives without, and the edit of the one that is taken', async () => {
    const [first, ...others] = await injections(TEXT);
    expect(client.initialized.capabilities.codeActionProvider).toMatchObject({ resolveProvider: true });
    expect(first).toMatchObject({ isPreferred: true, edit: { documentChanges: [{}] } });
    expect(others.length).toBeGreaterThan(0);
    for (const { title, edit } of others) {
      expect(title).toMatch(/: least 1[01]\.\d+ V, \d+ cables?, [\d.]+ m of two-core-1[24]/);
      expect(edit).toBeUndefined();
    }
    const before = await codes();
    const taken = await resolve(others.at(-1));
    expect(taken).toMatchObject({ title: others.at(-1)?.title, diagnostics: [{ code: 'no-power' }] });
    await client.apply(taken.edit ?? {});
    expect(await codes()).toEqual(before.filter((code) => code !== 'no-power'));
  });

  it('gets no edit for a text that has changed since', async () => {
    const [, second] = await injections(TEXT);
    await client.change(PLAN, '# above\n', { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } });
    await expect(resolve(second)).rejects.toMatchObject({ code: LSPErrorCodes.ContentModified });
  });

  it('gets no edit when another file of the plan has changed since', async () => {
    const [, second] = await injections(`use "${STOCK}"\n${TEXT}`);
    expect(second).toBeDefined();
    client.files.set(STOCK, 'place quay\nplace shed\n');
    await client.changedOnDisk(STOCK, 2);
    await expect(resolve(second)).rejects.toMatchObject({ code: LSPErrorCodes.ContentModified });
  });

  it('is told what the plan as a whole does not stand', async () => {
    // The network of the run holds with cables from the second supply; only the plan's own line is against them.
    const [first, ...others] = await injections(`${TEXT}expect route box-2 to roof at most 0 cables\n`);
    expect(first?.edit).toBeDefined();
    expect(others.length).toBeGreaterThan(0);
    const answers = await Promise.allSettled(others.map(resolve));
    const refused = answers.flatMap((answer) => (answer.status === 'rejected' ? [answer.reason] : []));
    expect(refused.length).toBeGreaterThan(0);
    for (const { code, message } of refused) {
      expect(code).toBe(LSPErrorCodes.RequestFailed);
      expect(message).toMatch(/^"Inject at .*" does not hold on the plan as a whole\.$/);
    }
  });

  it('gets back what is none of ours, or is made already', async () => {
    const [first] = await injections(TEXT);
    expect(await resolve(first)).toEqual(first);
    expect(await resolve({ title: 'x' })).toEqual({ title: 'x' });
    for (const data of [null, 7, 'x', {}, { uri: 1 }, { uri: 'file:///display/plan.festoon', made: 'x' }])
      await expect(resolve({ title: 'x', data })).rejects.toMatchObject({ code: ErrorCodes.InvalidParams });
    const beyond = { uri: 'file:///display/plan.festoon', made: 1e9, finding: -1, fix: 99 };
    await expect(resolve({ title: 'x', data: beyond })).rejects.toMatchObject({ code: LSPErrorCodes.ContentModified });
  });
});

describe('a client that does not ask', () => {
  const resolving = (more: object): ClientCapabilities => ({
    ...RESOLVING,
    textDocument: { ...RESOLVING.textDocument, codeAction: { ...RESOLVING.textDocument?.codeAction, ...more } },
  });
  it.each([
    ['at all', MODERN],
    ['for edits', resolving({ resolveSupport: { properties: ['command'] } })],
    ['with data', resolving({ dataSupport: false })],
  ])('%s gets all edits at once, of what holds on the plan as a whole', async (_, capabilities) => {
    const actions = await injections(TEXT, capabilities);
    expect(client.initialized.capabilities.codeActionProvider).not.toHaveProperty('resolveProvider');
    expect(JSON.stringify(actions)).toContain('psu-2');
    for (const { edit, data } of actions) {
      expect(edit).toBeDefined();
      expect(data).toBeUndefined();
    }
    await client.close();
    const left = await injections(`${TEXT}expect route box-2 to roof at most 0 cables\n`, capabilities);
    expect(left.length).toBeGreaterThan(0);
    expect(JSON.stringify(left)).not.toContain('psu-2');
  });
});
