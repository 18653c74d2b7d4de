import { ErrorCodes, ResponseError } from 'vscode-languageserver';

/**
 * Refuses parameters that lack what the protocol promises for a method, so that a client's mistake is told to the
 * client and is not logged as one of ours. Only what handlers rely on is looked at.
 */
export function assertParams(method: string, params: unknown): void {
  const lacking = whatLacks(method, params);
  if (lacking !== undefined) throw new ResponseError(ErrorCodes.InvalidParams, `${method} needs ${lacking}`);
}

type Shape = (value: unknown) => boolean;

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;
const isText: Shape = (value) => typeof value === 'string';
const isList: Shape = (value) => Array.isArray(value);
const isPosition: Shape = (value) =>
  isRecord(value) && typeof value['line'] === 'number' && typeof value['character'] === 'number';
const isRange: Shape = (value) => isRecord(value) && isPosition(value['start']) && isPosition(value['end']);
const isRenamed: Shape = (value) => isRecord(value) && isText(value['oldUri']) && isText(value['newUri']);
const isDocument: Shape = (value) => isRecord(value) && isText(value['uri']);

const DOCUMENT: readonly [string, Shape] = ['textDocument', isDocument];
const POSITION: readonly [string, Shape] = ['position', isPosition];
const RANGE: readonly [string, Shape] = ['range', isRange];

/** What we put beside an answer and get back when more is asked about it; an item of another server has none of ours. */
const ours =
  (fields: Readonly<Record<string, 'string' | 'number'>>): Shape =>
  (value) =>
    value === undefined ||
    (isRecord(value) && Object.entries(fields).every(([key, type]) => typeof value[key] === type));

/** What a method needs beside a document, which all methods of `textDocument/…` need. */
const NEEDS: Readonly<Record<string, readonly (readonly [string, Shape])[]>> = {
  'textDocument/didOpen': [
    ['textDocument', (value) => isDocument(value) && isText((value as { text?: unknown }).text)],
  ],
  'textDocument/didChange': [
    [
      'contentChanges',
      (value) => isList(value) && (value as unknown[]).every((change) => isRecord(change) && isText(change['text'])),
    ],
  ],
  'textDocument/hover': [POSITION],
  'textDocument/completion': [POSITION],
  'textDocument/signatureHelp': [POSITION],
  'textDocument/definition': [POSITION],
  'textDocument/typeDefinition': [POSITION],
  'textDocument/references': [POSITION, ['context', isRecord]],
  'textDocument/documentHighlight': [POSITION],
  'textDocument/prepareRename': [POSITION],
  'textDocument/prepareCallHierarchy': [POSITION],
  'textDocument/rename': [POSITION, ['newName', isText]],
  'textDocument/onTypeFormatting': [POSITION],
  'textDocument/codeAction': [RANGE, ['context', isRecord]],
  'textDocument/rangeFormatting': [RANGE],
  'textDocument/rangesFormatting': [['ranges', (value) => isList(value) && (value as unknown[]).every(isRange)]],
  'textDocument/semanticTokens/range': [RANGE],
  'textDocument/inlayHint': [RANGE],
  'textDocument/selectionRange': [['positions', (value) => isList(value) && (value as unknown[]).every(isPosition)]],
  'workspace/executeCommand': [
    ['command', isText],
    ['arguments', (value) => value === undefined || value === null || isList(value)],
  ],
  'workspace/symbol': [['query', isText]],
  'workspace/diagnostic': [['previousResultIds', isList]],
  'workspace/didChangeWatchedFiles': [['changes', (value) => isList(value) && (value as unknown[]).every(isDocument)]],
  'workspace/willRenameFiles': [['files', (value) => isList(value) && (value as unknown[]).every(isRenamed)]],
  'workspace/textDocumentContent': [['uri', isText]],
  'completionItem/resolve': [['data', ours({ uri: 'string', kind: 'string', name: 'string', start: 'number' })]],
  'codeAction/resolve': [['data', ours({ uri: 'string', made: 'number', finding: 'number', fix: 'number' })]],
  'inlayHint/resolve': [['data', ours({ uri: 'string', offset: 'number', family: 'string' })]],
  'festoon/explain': [['code', isText]],
  'festoon/drawing': [DOCUMENT],
  'festoon/power': [DOCUMENT],
  'festoon/report': [DOCUMENT],
  'festoon/review': [DOCUMENT],
  'festoon/tests': [DOCUMENT],
  'callHierarchy/incomingCalls': [['item', isRecord]],
  'callHierarchy/outgoingCalls': [['item', isRecord]],
};

function whatLacks(method: string, params: unknown): string | undefined {
  if (!isRecord(params)) return 'parameters';
  const needs = [...(method.startsWith('textDocument/') ? [DOCUMENT] : []), ...(NEEDS[method] ?? [])];
  return needs.find(([key, fits]) => !fits(params[key]))?.[0];
}
