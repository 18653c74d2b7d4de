import { afterEach, describe, expect, it } from 'vitest';
import { LanguageClient } from '../support/language-client.ts';

let client: LanguageClient;
afterEach(() => client.close());

/** JSON-RPC 2.0, section 5.1: invalid method parameters. */
const INVALID_PARAMS = -32602;

const asked = (method: string, params: object) =>
  client.connection.sendRequest(method, params).then(
    () => 'answered',
    (error: { code: number }) => error.code,
  );

const place = { textDocument: { uri: 'file:///display/plan.festoon' } };
const WRONG: readonly (readonly [string, object])[] = [
  ['textDocument/hover', {}],
  ['textDocument/hover', place],
  ['textDocument/hover', { ...place, position: { line: 0 } }],
  ['textDocument/completion', { textDocument: {}, position: { line: 0, character: 0 } }],
  ['textDocument/inlayHint', { ...place, range: { start: { line: 0, character: 0 } } }],
  ['textDocument/selectionRange', { ...place, positions: [null] }],
  ['textDocument/rename', { ...place, position: { line: 0, character: 0 } }],
  ['textDocument/diagnostic', {}],
  ['textDocument/documentSymbol', {}],
  ['workspace/symbol', {}],
  ['workspace/diagnostic', {}],
  ['workspace/executeCommand', {}],
  ['workspace/executeCommand', { command: 'festoon.papers', arguments: 7 }],
  ['workspace/executeCommand', { command: 'festoon.papers', arguments: 'plan' }],
  ['festoon/tests', {}],
  ['festoon/power', {}],
  ['festoon/report', {}],
  ['festoon/review', { textDocument: null }],
  ['festoon/drawing', { view: 'site' }],
  ['workspace/textDocumentContent', {}],
  ['workspace/willRenameFiles', { files: [null] }],
  ['completionItem/resolve', { label: 'eaves', data: {} }],
  ['completionItem/resolve', { label: 'eaves', data: { uri: 'file:///x', kind: 'run', name: 7, start: 0 } }],
  ['inlayHint/resolve', { ...place, label: '1 A', data: 'x' }],
  ['inlayHint/resolve', { label: '1 A', data: { uri: 'file:///x', offset: null, family: 'x' } }],
];

describe('a request without what it needs', () => {
  it.each(WRONG)('%s %j is refused as the protocol says, and nothing is logged', async (method, params) => {
    client = await LanguageClient.inMemory();
    await client.open('plan.festoon', 'place shed\n');
    expect(await asked(method, params)).toBe(INVALID_PARAMS);
    expect(client.logged.filter((line) => line.includes('internal error'))).toEqual([]);
  });

  it('or a notification without it is left out, and the next one counts', async () => {
    client = await LanguageClient.inMemory();
    await client.connection.sendNotification('textDocument/didOpen', {});
    await client.connection.sendNotification('textDocument/didChange', place);
    await client.open('plan.festoon', 'place shed\nplace shed\n');
    expect((await client.pull('plan.festoon')).map(({ code }) => code)).toEqual(['duplicate-name']);
    expect(client.logged.filter((line) => line.includes('internal error'))).toEqual([]);
  });
});
