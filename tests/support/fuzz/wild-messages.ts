import type { RawServer } from '../raw-server.ts';
import type { Random } from './random.ts';

/** What a broken client may send. */

/** Numbers as places; the last ones become an infinite number and none when they are read. */
export const NUMBERS = [0, 1, 2, 5, 40, -1, 0.5, 1e9, 2 ** 31, 2 ** 53, -(2 ** 31), 1e308];
export const NUMBERS_OF_PLACES: readonly unknown[] = [...NUMBERS, ...NUMBERS, null, 'x', [], {}, true];

const OF_A_FILE = [
  ...['hover', 'completion', 'definition', 'typeDefinition', 'references', 'documentHighlight', 'prepareRename'],
  ...[
    'rename',
    'codeAction',
    'formatting',
    'rangeFormatting',
    'rangesFormatting',
    'onTypeFormatting',
    'documentSymbol',
    'foldingRange',
  ],
  ...['selectionRange', 'semanticTokens/full', 'semanticTokens/range', 'inlayHint', 'documentLink', 'diagnostic'],
  ...['signatureHelp', 'codeLens', 'prepareCallHierarchy', 'nothing-of-this-name'],
];

export const METHODS: readonly string[] = [
  ...OF_A_FILE.map((name) => `textDocument/${name}`),
  ...['workspace/symbol', 'workspace/diagnostic', 'workspace/executeCommand', 'workspace/willRenameFiles'],
  ...['completionItem/resolve', 'inlayHint/resolve', 'codeLens/resolve'],
  ...['callHierarchy/incomingCalls', 'callHierarchy/outgoingCalls', '$/unknown', '__proto__', 'constructor', ''],
];

/** Bodies with a right header that are no message. */
export const BODIES: readonly string[] = [
  '',
  ' ',
  '{',
  '}',
  'null',
  '42',
  '"text"',
  'true',
  '[]',
  '[[]]',
  '{}',
  '{"jsonrpc":"2.0"}',
  '{"jsonrpc":"1.0","id":1,"method":"x"}',
  '{"jsonrpc":"2.0","id":null,"method":"x"}',
  '{"jsonrpc":"2.0","id":{},"method":"x"}',
  '{"jsonrpc":"2.0","id":1.5,"method":7}',
  '{"jsonrpc":"2.0","id":1e999,"method":"textDocument/hover"}',
  '{"jsonrpc":"2.0","method":null,"params":null}',
  '{"jsonrpc":"2.0","method":"textDocument/didOpen"}',
  '{"jsonrpc":"2.0","method":"textDocument/didOpen","params":[]}',
  '{"jsonrpc":"2.0","method":"textDocument/didChange","params":{"textDocument":null}}',
  '{"jsonrpc":"2.0","method":"$/cancelRequest","params":{}}',
  '{"jsonrpc":"2.0","method":"$/cancelRequest"}',
  '{"jsonrpc":"2.0","method":"$/setTrace","params":{"value":7}}',
  '{"jsonrpc":"2.0","method":"workspace/didChangeWatchedFiles","params":{"changes":7}}',
  '{"jsonrpc":"2.0","method":"workspace/didChangeWatchedFiles","params":{"changes":[null,{"uri":7}]}}',
  '{"jsonrpc":"2.0","method":"workspace/didChangeWorkspaceFolders","params":{"event":null}}',
  '{"jsonrpc":"2.0","method":"workspace/didChangeConfiguration"}',
  '{"jsonrpc":"2.0","method":"initialized"}',
  '{"jsonrpc":"2.0","id":"nobody-asked","result":1}',
  '{"jsonrpc":"2.0","id":"nobody-asked","error":{}}',
  '{"__proto__":{"method":"exit"},"constructor":{"prototype":{"method":"exit"}}}',
  `${'['.repeat(20_000)}${']'.repeat(20_000)}`,
  '\ud800',
  '\0',
];

/** One thing that is no proper request. */
export function disturbance(random: Random, index: number, server: RawServer): void {
  switch (random.below(6)) {
    case 0:
      server.frame(random.pick(BODIES));
      break;
    case 1:
      server.send({ method: '$/cancelRequest', params: { id: Math.max(0, index - random.below(4)) } });
      break;
    case 2:
      server.send({ method: random.pick(METHODS), params: { textDocument: { uri: random.pick(['', 'x:', '\0']) } } });
      break;
    case 3:
      server.frame(Buffer.from([0x7b, 0xff, 0xfe, 0xc0, 0x80, 0x7d]));
      break;
    case 4:
      server.send({
        method: 'workspace/didChangeWatchedFiles',
        params: { changes: [{ uri: random.pick(['', 'file:///display/plan.festoon', '%']), type: random.below(9) }] },
      });
      break;
    default:
      server.send({
        id: `unknown-${index}`,
        method: random.pick(METHODS),
        params: random.pick([[], null, 7, 'x'] as const),
      });
  }
}
