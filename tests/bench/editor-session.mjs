/** A language server that runs as a process of its own with one document open in it, and what that process costs. */
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';
import { SCHEMA } from './editor-documents.mjs';

const capabilities = {
  general: { positionEncodings: ['utf-16'] },
  textDocument: {
    diagnostic: { dynamicRegistration: false },
    hover: { contentFormat: ['markdown'] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ['markdown'] } },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    publishDiagnostics: { relatedInformation: true },
  },
  workspace: { configuration: false },
};

/** Starts a server, opens the document and waits for its first findings. `flags` are those of Node. */
export async function open(entry, document, flags = []) {
  const from = performance.now();
  const child = spawn(process.execPath, [...flags, entry, '--stdio'], { stdio: ['pipe', 'pipe', 'inherit'] });
  const connection = createMessageConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  connection.onRequest(() => null);
  connection.listen();
  await connection.sendRequest('initialize', {
    processId: process.pid,
    rootUri: null,
    capabilities,
    initializationOptions: { provideFormatter: true, handledSchemaProtocols: [] },
  });
  await connection.sendNotification('initialized', {});
  const settings = { json: { validate: { enable: true }, schemas: [{ fileMatch: ['*.json'], schema: SCHEMA }] } };
  await connection.sendNotification('workspace/didChangeConfiguration', { settings });
  const uri = `file:///bench/${document.name}`;
  const { languageId, text } = document;
  const textDocument = { uri, languageId, version: 1, text };
  await connection.sendNotification('textDocument/didOpen', { textDocument });
  const ask = (method, params = {}) => connection.sendRequest(method, { textDocument: { uri }, ...params });
  await ask('textDocument/diagnostic');
  const started = performance.now() - from;
  let version = 1;
  const edit = (range, put) =>
    connection.sendNotification('textDocument/didChange', {
      textDocument: { uri, version: ++version },
      contentChanges: [{ range, text: put }],
    });
  return { ask, edit, started, close: () => close(connection, child), cost: () => costOf(child.pid) };
}

async function close(connection, child) {
  const ended = new Promise((resolve) => child.once('exit', resolve));
  await connection.sendRequest('shutdown');
  await connection.sendNotification('exit');
  const timer = setTimeout(() => child.kill('SIGKILL'), 2000);
  await ended;
  clearTimeout(timer);
  connection.dispose();
}

/** Clock ticks of the kernel's accounting, ms; a hundred in a second on every Linux there is. */
const TICK_MS = 10;

/** Processor time of all threads so far, ms, and resident memory now and at most, MB; as Linux counts them. */
function costOf(pid) {
  const status = readFileSync(`/proc/${pid}/status`, 'utf8');
  const megabytes = (key) => Number(new RegExp(`^${key}:\\s+(\\d+) kB`, 'm').exec(status)?.[1]) / 1024;
  // The name of the program stands in brackets and may hold blanks; utime and stime are the 14th and 15th field.
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8')
    .replace(/^.*\) /s, '')
    .split(' ');
  const processor = (Number(fields[11]) + Number(fields[12])) * TICK_MS;
  return { processor, resident: megabytes('VmRSS'), most: megabytes('VmHWM') };
}
