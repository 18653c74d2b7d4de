import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { createContext, runInContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { MODERN } from '../support/language-client.ts';

/** The server as browsers load it; `npm test` builds it first. */
const WORKER = fileURLToPath(new URL('../../dist/web/server.js', import.meta.url));

interface Message {
  readonly id?: number;
  readonly method?: string;
  readonly result?: unknown;
}

type Listener = (event: { readonly data: object }) => void;

/** Runs the bundle among nothing but what a worker of a browser has; Node's own globals are not there. */
function worker() {
  if (!existsSync(WORKER)) throw new Error('dist/web/server.js is not built: npm run build');
  const sent: Message[] = [];
  const listeners = new Map<string, Listener>();
  const scope: Record<string, unknown> = createContext({
    ...{ setTimeout, clearTimeout, queueMicrotask, performance, console, URL, TextEncoder, TextDecoder, btoa, atob },
    addEventListener: (type: string, listener: Listener) => listeners.set(type, listener),
    postMessage: (message: Message) => sent.push(message),
  });
  scope['self'] = scope;
  runInContext(readFileSync(WORKER, 'utf8'), scope, { filename: 'server.js' });
  const post = (message: object) =>
    (listeners.get('message') ?? (scope['onmessage'] as Listener))({ data: { jsonrpc: '2.0', ...message } });
  let id = 0;
  const ask = async <T>(method: string, params: object): Promise<T> => {
    const own = `ask ${++id}`;
    post({ id: own, method, params });
    for (;;) {
      const answer = sent.find((message) => (message.id as unknown) === own);
      if (answer !== undefined) return answer.result as T;
      for (const request of sent.splice(0)) {
        // A client without files: everything that is asked of it is not known.
        if (request.method !== undefined && request.id !== undefined)
          post({ id: request.id, error: { code: -32601, message: 'not known' } });
      }
      await new Promise((resolve) => setTimeout(resolve, 1));
    }
  };
  return { ask, tell: (method: string, params: object) => post({ method, params }) };
}

describe('the server for browsers', () => {
  it('finds, formats and explains without a machine behind it', async () => {
    const { ask, tell } = worker();
    const start = await ask<{ capabilities: { hoverProvider?: boolean } }>('initialize', {
      processId: null,
      rootUri: null,
      capabilities: MODERN,
    });
    expect(start.capabilities.hoverProvider).toBe(true);
    tell('initialized', {});
    const uri = 'vscode-vfs://somewhere/plan.festoon';
    const textDocument = { uri, languageId: 'festoon', version: 1, text: 'place   shed\nplace shed\n' };
    tell('textDocument/didOpen', { textDocument });
    const report = await ask<{ items: { code: string }[] }>('textDocument/diagnostic', { textDocument: { uri } });
    expect(report.items.map(({ code }) => code)).toEqual(['duplicate-name']);
    const edits = await ask<unknown[]>('textDocument/formatting', { textDocument: { uri }, options: {} });
    expect(edits).toHaveLength(1);
  });
});
