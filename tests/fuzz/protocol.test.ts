import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { generatePlan } from '../support/fuzz/generate.ts';
import { casesOf, Random, SEEDS } from '../support/fuzz/random.ts';
import { BODIES, METHODS, open, placed, URI, wildEdit, wildParams } from '../support/fuzz/wild-messages.ts';
import { speakWildly } from '../support/fuzz/wild-session.ts';
import { RawServer } from '../support/raw-server.ts';

/**
 * The packed server on its standard input, spoken to by a client that has lost its mind: whatever comes, the process
 * stays, and every request that is one is answered.
 */
const SERVER = fileURLToPath(new URL('../../dist/server.cjs', import.meta.url));
let server: RawServer;
let sent = 0;
afterEach(() => server.kill());

async function started(): Promise<RawServer> {
  if (!existsSync(SERVER)) throw new Error('dist/server.cjs is not built: npm run build');
  server = new RawServer(SERVER);
  server.send({ id: 'start', method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } });
  await server.answersTo(['start']);
  server.send({ method: 'initialized', params: {} });
  return server;
}

/** Asks once more and waits: the server is there, and has dealt with all that came before. */
async function isAlive(): Promise<void> {
  const id = `alive-${sent++}`;
  server.send({ id, method: 'textDocument/hover', params: placed(0, 0) });
  await server.answersTo([id]);
}

describe.each(SEEDS)('seed %i', (seed) => {
  it('answers every request among whatever else is sent', { timeout: 36_000_000 }, async () => {
    await started();
    const count = casesOf(4000);
    const asked = await speakWildly(server, new Random(seed), count);
    sent += count;
    await isAlive();
    expect(asked).toBeGreaterThan(count / 4);
    expect(server.logged.filter((line) => line.includes('internal error'))).toEqual([]);
    server.send({ id: 'end', method: 'shutdown' });
    await server.answersTo(['end']);
    server.send({ method: 'exit' });
    expect(await server.exit()).toBe(0);
  });
});

describe('the server stays', () => {
  it.each(BODIES)('after the body %j', async (body) => {
    await started();
    server.frame(body);
    await isAlive();
  });

  it.each([
    ['a length that is too great', 'Content-Length: 60\r\n\r\n{"jsonrpc":"2.0","method":"x"}'],
    ['a length that is too small', 'Content-Length: 5\r\n\r\n{"jsonrpc":"2.0","method":"x"}'],
    ['a length that is none', 'Content-Length: many\r\n\r\n{}'],
    ['a length below zero', 'Content-Length: -5\r\n\r\n{}'],
    ['no length at all', 'Content-Type: x\r\n\r\n{}'],
    ['no header', '{"jsonrpc":"2.0","method":"x"}\r\n\r\n'],
    ['nothing but line ends', '\r\n\r\n\r\n\r\n'],
  ])('after %s', async (_, bytes) => {
    await started();
    server.write(bytes);
    // Where a message ends cannot be told any more: it is enough that the process stays for the client to see.
    for (let index = 0; index < 20; index++)
      server.send({ id: `q${index}`, method: 'textDocument/hover', params: placed(0, 0) });
    await Promise.race([server.answersTo(['q19']), new Promise((resolve) => setTimeout(resolve, 500))]);
    expect(server.ended).toBeUndefined();
  });

  it('and answers what was cancelled at once, later or twice, each request one time', async () => {
    await started();
    server.send(open(URI, 1, generatePlan(new Random(1))));
    const asked = Array.from({ length: 200 }, (_, id) => id);
    for (const id of asked) {
      server.send({ id, method: METHODS[id % METHODS.length], params: wildParams(new Random(id)) });
      if (id % 2 === 0) server.send({ method: '$/cancelRequest', params: { id } });
      if (id % 3 === 0) server.send({ method: '$/cancelRequest', params: { id: Math.max(0, id - 5) } });
      if (id % 20 === 0) server.send(wildEdit(new Random(id), id + 2));
    }
    await server.answersTo(asked);
    await isAlive();
    expect(server.twice).toEqual([]);
    // Cancelled, overtaken by an edit, or refused for what it asks; never a fault of the server's own.
    const codes = asked.flatMap((id) => server.answers.get(id)?.error?.code ?? []);
    expect(codes).toContain(-32800);
    expect(codes.filter((code) => code === -32603)).toEqual([]);
  });

  it('when things come out of order', async () => {
    server = new RawServer(SERVER);
    server.send({ id: 1, method: 'textDocument/hover', params: placed(0, 0) });
    server.send(open(URI, 1, 'place shed\n'));
    await server.answersTo([1]);
    for (const id of [2, 3])
      server.send({ id, method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } });
    await server.answersTo([2, 3]);
    server.send({ method: 'textDocument/didClose', params: { textDocument: { uri: URI } } });
    server.send({ method: 'textDocument/didClose', params: { textDocument: { uri: URI } } });
    await isAlive();
    server.send({ id: 4, method: 'shutdown' });
    server.send({ id: 5, method: 'shutdown' });
    server.send({ id: 6, method: 'textDocument/hover', params: placed(0, 0) });
    await server.answersTo([4, 5, 6]);
    expect(server.ended).toBeUndefined();
  });
});

afterAll(() => {
  console.log(`sent ${sent} messages, seeds ${SEEDS.join(' and ')}`);
  if (sent === 0) throw new Error('no message was sent');
});
