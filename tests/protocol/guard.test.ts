import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Hover } from 'vscode-languageserver';
import { LanguageClient, PLAIN } from '../support/language-client.ts';

/** Faults of ours, planted: a hover on `boom`, an analysis of a text that says BOOM. */
vi.mock('#server/ide/hover.ts', async (load) => {
  const real = await load<typeof import('#server/ide/hover.ts')>();
  return {
    ...real,
    hoverAt: (...args: Parameters<typeof real.hoverAt>) => {
      const [analysis, uri, offset] = args;
      if (analysis.files.find((file) => file.uri === uri)?.text.startsWith('boom', offset))
        throw new Error('planted in hover');
      return real.hoverAt(...args);
    },
  };
});
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

const problem = () => client.until(() => client.logged.find((line) => line.includes('internal error')));

describe('a fault of ours', () => {
  it('in a request is logged with how to reproduce it, and the next request is served', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'place boom\nplace shed\n');
    expect(await client.ask('textDocument/hover', PLAN, { position: client.at(PLAN, 'boom') })).toBeNull();
    const logged = await problem();
    expect(logged).toContain('planted in hover');
    expect(logged).toContain('textDocument/hover');
    expect(logged).toContain('"character":6');
    expect(logged).toContain(client.uri(PLAN));
    expect(await client.ask<Hover>('textDocument/hover', PLAN, { position: client.at(PLAN, 'shed') })).not.toBeNull();
  });

  it('in an analysis is one finding of the file, and goes with its cause', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, 'place BOOM\n');
    const found = await client.pull(PLAN);
    expect(found.map(({ code }) => code)).toEqual(['internal']);
    expect(found[0]?.message).toContain('planted in analysis');
    expect(await client.ask('textDocument/hover', PLAN, { position: { line: 0, character: 0 } })).toBeNull();
    expect(await client.connection.sendRequest('workspace/diagnostic', { previousResultIds: [] })).toMatchObject({
      items: [{ items: [{ code: 'internal' }] }],
    });
    await client.change(PLAN, 'place shed\n');
    expect(await client.pull(PLAN)).toEqual([]);
  });

  it('is one finding for clients that do not ask, too', async () => {
    client = await LanguageClient.inMemory({ capabilities: PLAIN });
    await client.open(PLAN, 'place BOOM\n');
    expect((await client.sentFor(PLAN, 1)).diagnostics.map(({ code }) => code)).toEqual(['internal']);
    await client.change(PLAN, 'place shed\n');
    expect((await client.sentFor(PLAN, 2)).diagnostics).toEqual([]);
  });
});
