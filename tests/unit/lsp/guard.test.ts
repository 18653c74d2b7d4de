import { expect, it } from 'vitest';
import { type CancellationToken, type Connection, ErrorCodes, ResponseError } from 'vscode-languageserver';
import { Guard } from '#server/lsp/guard.ts';

const logged: string[] = [];
const say = (text: string) => void logged.push(text);
const guard = new Guard({ console: { error: say, warn: say } } as unknown as Connection);
const token = { isCancellationRequested: false } as CancellationToken;
const throwing = (error: unknown) => () => {
  throw error;
};

it('answers with nothing and logs what a person needs, whatever was thrown', async () => {
  const bare = Object.assign(new Error('no stack'), { stack: undefined });
  for (const [thrown, said] of [
    [new Error('an error'), /^internal error in festoon\/test \{"a":1\}\nError: an error\n +at /],
    [bare, /^internal error in festoon\/test \{"a":1\}\nno stack\nPlease report it/],
    ['a text', /^internal error in festoon\/test \{"a":1\}\na text\nPlease report it/],
  ] as const) {
    logged.length = 0;
    expect(await guard.request('festoon/test', 'nothing', throwing(thrown))({ a: 1 }, token)).toBe('nothing');
    expect(logged).toHaveLength(1);
    expect(logged[0]).toMatch(said);
    logged.length = 0;
    guard.notification('festoon/test', throwing(thrown))({ a: 1 });
    expect(logged[0]).toMatch(said);
  }
});

it('lets pass what the protocol knows, and says of a notification why it is left out', async () => {
  logged.length = 0;
  const error = new ResponseError(ErrorCodes.InvalidParams, 'it needs a position');
  await expect(guard.request('festoon/test', 'nothing', throwing(error))({}, token)).rejects.toBe(error);
  expect(logged).toEqual([]);
  guard.notification('festoon/test', throwing(error))({});
  expect(logged).toEqual(['it needs a position']);
});
