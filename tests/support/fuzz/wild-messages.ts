import type { RawServer } from '../raw-server.ts';
import { generatePlan } from './generate.ts';
import { mutate } from './mutate.ts';
import type { Random } from './random.ts';

/** What a broken client may send. */

export const URI = 'file:///display/plan.festoon';

/** Numbers alone would meet those of the wild bodies. */
export const requestId = (index: number) => `ask-${index}`;

export const placed = (line: unknown, character: unknown) => ({
  textDocument: { uri: URI },
  position: { line, character },
});

export const open = (uri: string, version: number, text: string) => ({
  method: 'textDocument/didOpen',
  params: { textDocument: { uri, languageId: 'festoon', version, text } },
});

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
  ...['completionItem/resolve', 'inlayHint/resolve', 'codeLens/resolve', 'codeAction/resolve'],
  ...['workspace/textDocumentContent', 'festoon/drawing', 'festoon/explain', 'festoon/report', 'festoon/review'],
  'festoon/tests',
  'festoon/power',
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
      server.send({ method: '$/cancelRequest', params: { id: requestId(index - random.below(4)) } });
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

/** The parameters of any request about a place, wild ones among them; now and then one is missing or of another kind. */
export function wildParams(random: Random): object {
  const position = { line: random.pick(NUMBERS_OF_PLACES), character: random.pick(NUMBERS_OF_PLACES) };
  const range = { start: position, end: { line: random.pick(NUMBERS), character: random.pick(NUMBERS) } };
  const uri = random.pick([URI, URI, URI, 'file:///display/gone.festoon', 'no address', 'untitled:x', '']);
  const params: Record<string, unknown> = {
    textDocument: { uri },
    uri: random.pick([`festoon-papers:p.md?${uri}`, `festoon-netlist:p.cir?${uri}`, uri]),
    position,
    range,
    ranges: [range, range],
    positions: [position],
    context: { diagnostics: [], includeDeclaration: true },
    options: { tabSize: 2, insertSpaces: true },
    newName: random.pick(['eaves-2', '', '__proto__', 'a b', '\u202e']),
    query: random.pick(['', 'e', '__proto__']),
    code: random.pick(['low-voltage', '', 'constructor']),
    view: random.pick(['site', 'wiring', 'x', 7] as const),
    data: random.pick([{}, { uri, name: 'x' }, { uri, version: 1, code: 'low-voltage' }]),
    previousResultIds: [],
    ch: '\n',
    item: { uri, name: 'x', data: {}, range, selectionRange: range, kind: 1 },
    files: [{ oldUri: uri, newUri: uri }],
  };
  if (random.chance(0.1))
    params[random.pick(Object.keys(params))] = random.pick([null, 7, 'x', [], [null], {}] as const);
  return params;
}

/** Texts opened, changed and closed, in any order and for any address. */
export function wildEdit(random: Random, version: number): object {
  const uri = random.pick([URI, URI, URI, 'file:///display/other.festoon', 'nowhere']);
  const text = random.chance(0.7)
    ? random.pick(['', 'place shed\n', '}', '"', '7', '\ud800'])
    : mutate(random, generatePlan(random));
  const { position: start } = placed(random.pick(NUMBERS), random.pick(NUMBERS));
  const { position: end } = placed(random.pick(NUMBERS), random.pick(NUMBERS));
  const change = random.chance(0.5) ? { range: { start, end }, text } : { text };
  switch (random.below(6)) {
    case 0:
      return open(uri, version, text);
    case 1:
      return { method: 'textDocument/didClose', params: { textDocument: { uri } } };
    default:
      return {
        method: 'textDocument/didChange',
        params: { textDocument: { uri, version: random.pick([version, -1, null]) }, contentChanges: [change] },
      };
  }
}
