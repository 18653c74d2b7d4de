import { PassThrough, Writable } from 'node:stream';
import { expect, test } from 'vitest';
import type { Message } from 'vscode-languageserver/node';
import { lateJson } from '#server/lsp/late.ts';
import { WholeMessageWriter } from '#server/lsp/whole-message-writer.ts';

/** The base protocol of the language server protocol counts the content in bytes of UTF-8, and ends each header line with CR LF. */
test('a message is written at once, with its length in bytes', async () => {
  const stream = new PassThrough();
  const parts: Buffer[] = [];
  stream.on('data', (part: Buffer) => parts.push(part));
  const message = { jsonrpc: '2.0', method: 'é🎄' } as Message;
  await new WholeMessageWriter(stream).write(message);
  expect(parts).toHaveLength(1);
  // {"jsonrpc":"2.0","method":"…"} is 29 bytes without the method; é takes two bytes, the tree four.
  expect(parts[0]?.toString('utf8')).toBe('Content-Length: 35\r\n\r\n{"jsonrpc":"2.0","method":"é🎄"}');
});

test('a broken stream is told of, and so is what cannot be written as JSON', async () => {
  const broken = new Writable({ write: (_chunk, _encoding, done) => done(new Error('no one listens')) });
  const writer = new WholeMessageWriter(broken);
  const errors: string[] = [];
  writer.onError(([error]) => errors.push(error.message));
  await expect(writer.write({ jsonrpc: '2.0' })).rejects.toThrow('no one listens');
  expect(errors).toContain('no one listens');
  const round: Message & { itself?: unknown } = { jsonrpc: '2.0' };
  round.itself = round;
  await expect(writer.write(round)).rejects.toThrow();
});

test('a long list is written item by item, and reads as if it had been written at once', async () => {
  const stream = new PassThrough();
  const parts: Buffer[] = [];
  stream.on('data', (part: Buffer) => parts.push(part));
  // Each item has more than 2,000 bytes, so that 500 of them do not fit one piece; some are made when it is their turn.
  const made = (at: number) => ({ at, text: 'é'.repeat(1000) });
  const items = Array.from({ length: 500 }, (_, at) => (at % 3 === 0 ? lateJson(() => made(at)) : made(at)));
  await new WholeMessageWriter(stream).write({ jsonrpc: '2.0', id: 7, result: [...items, undefined] } as Message);
  const [header, ...content] = Buffer.concat(parts).toString('utf8').split('\r\n\r\n');
  const text = content.join('\r\n\r\n');
  expect(header).toBe(`Content-Length: ${Buffer.byteLength(text)}`);
  expect(JSON.parse(text)).toEqual({
    jsonrpc: '2.0',
    id: 7,
    // JSON has no word for what is not there.
    result: [...items.map((_, at) => made(at)), null],
  });
  expect(parts.length).toBeGreaterThan(1);
});
