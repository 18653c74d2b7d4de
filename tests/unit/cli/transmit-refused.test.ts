import { EventEmitter } from 'node:events';
import { afterEach, expect, it, vi } from 'vitest';
import { EXIT } from '#server/cli/io.ts';
import { transmit } from '#server/cli/light/transmit.ts';

/** A network that takes nothing, for a reason that a test cannot bring about on every machine: planted in the socket. */
let refusal = { code: '', message: '' };
vi.mock('node:dgram', () => ({
  createSocket: () =>
    Object.assign(new EventEmitter(), {
      send: (_bytes: unknown, _port: number, _address: string, done: (error: Error) => void) =>
        queueMicrotask(() => done(Object.assign(new Error(refusal.message), refusal))),
      close: () => undefined,
    }),
}));

const exitCode = process.exitCode;
afterEach(() => {
  process.exitCode = exitCode;
});

/** What is said when two universes are sent there. */
async function said(): Promise<string> {
  const universes = new Map([1, 2].map((universe) => [universe, new Uint8Array(3)]));
  let err = '';
  transmit(
    {
      ...{ address: '192.0.2.10', port: 5568, sourceName: 'Porch', priority: 100, rate: 44, seconds: 3600 },
      frame: () => ({ universes, says: undefined }),
      dark: universes,
    },
    {
      out: () => undefined,
      err: (text) => {
        err += text;
      },
    },
  );
  await Promise.resolve();
  await Promise.resolve();
  return err;
}

// Codes of POSIX connect and sendto.
it.each([
  ['ENETUNREACH', 'this computer has no way to it. Join the network that the controller is on'],
  ['EHOSTUNREACH', 'this computer has no way to it. Join the network that the controller is on'],
  ['EACCES', 'it is the address of a whole network, or a firewall forbids it. Give the address of the controller'],
  ['ENOBUFS', 'ENOBUFS'],
])('%s is told once in words that help, and the program ends with 2', async (code, reason) => {
  refusal = { code, message: 'send failed' };
  expect(await said()).toBe(`festoon: nothing can be sent to 192.0.2.10:5568: ${reason}.\n`);
  expect(process.exitCode).toBe(EXIT.usage);
});
