import { PassThrough, Writable } from 'node:stream';
import { expect, test } from 'vitest';
import type { Message } from 'vscode-languageserver/node';
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
