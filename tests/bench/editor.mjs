/**
 * `node tests/bench/editor.mjs [--write]`: measures the built language server beside a general JSON language server,
 * driven by the same client with documents of as many lines, in the same run. It asserts nothing. The JSON server is
 * installed with npm into .cache/bench-tools when it is not there; without it Festoon is measured alone.
 * With --write, the results replace RESULTS-EDITOR.md beside this file.
 */
import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';
import { display, json, SCHEMA } from './editor-documents.mjs';

const here = fileURLToPath(new URL('.', import.meta.url));
const root = join(here, '..', '..');
const tools = join(root, '.cache', 'bench-tools');
const peerVersion = '4.10.0';
const peerEntry = join(tools, 'node_modules', 'vscode-langservers-extracted', 'bin', 'vscode-json-language-server');

const sizes = [500, 5000, 20_000];
const keystrokes = { 500: 200, 5000: 120, 20000: 80 };
const requests = 40;
const warmUp = 8;
const starts = 7;

function installPeer() {
  if (existsSync(peerEntry)) return true;
  mkdirSync(tools, { recursive: true });
  writeFileSync(join(tools, 'package.json'), '{ "name": "festoon-bench-tools", "private": true }\n');
  const args = [
    'install',
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
    `vscode-langservers-extracted@${peerVersion}`,
  ];
  spawnSync('npm', args, { cwd: tools, stdio: 'inherit' });
  return existsSync(peerEntry);
}

const capabilities = {
  general: { positionEncodings: ['utf-16'] },
  textDocument: {
    diagnostic: { dynamicRegistration: false },
    hover: { contentFormat: ['markdown'] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ['markdown'] } },
    publishDiagnostics: { relatedInformation: true },
  },
  workspace: { configuration: false },
};

/** Starts a server and opens one document in it. */
async function open(entry, document) {
  const from = performance.now();
  const child = spawn(process.execPath, [entry, '--stdio'], { stdio: ['pipe', 'pipe', 'inherit'] });
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
  const first = await ask('textDocument/diagnostic');
  const started = performance.now() - from;
  const close = async () => {
    const ended = new Promise((resolve) => child.once('exit', resolve));
    await connection.sendRequest('shutdown');
    await connection.sendNotification('exit');
    const timer = setTimeout(() => child.kill('SIGKILL'), 2000);
    await ended;
    clearTimeout(timer);
    connection.dispose();
  };
  return { uri, connection, ask, first, started, close, memory: () => residentMegabytes(child.pid) };
}

function residentMegabytes(pid) {
  const found = /^VmRSS:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'));
  return found === null ? Number.NaN : Number(found[1]) / 1024;
}

function positionOf(text, { before, into = 0 }) {
  const at = text.indexOf(before);
  if (at < 0) throw new Error(`"${before}" does not stand in the document`);
  const lines = text.slice(0, at + before.length + into).split('\n');
  return { line: lines.length - 1, character: lines.at(-1).length };
}

async function times(count, work) {
  for (let n = 0; n < warmUp; n++) await work(n);
  const found = [];
  for (let n = 0; n < count; n++) {
    const from = performance.now();
    await work(n + warmUp);
    found.push(performance.now() - from);
  }
  return found.sort((a, b) => a - b);
}

const quantile = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];

async function measure(entry, document, lines) {
  const session = await open(entry, document);
  const start = positionOf(document.text, document.typed);
  const range = { start, end: { ...start, character: start.character + 1 } };
  let version = 1;
  const type = async (n) => {
    const text = n % 2 === 0 ? document.typed.other : document.typed.one;
    const textDocument = { uri: session.uri, version: ++version };
    await session.connection.sendNotification('textDocument/didChange', {
      textDocument,
      contentChanges: [{ range, text }],
    });
    await session.ask('textDocument/diagnostic');
  };
  const typed = await times(keystrokes[lines], type);
  const at = (place) => ({ position: positionOf(document.text, place) });
  const hover = await times(requests, () => session.ask('textDocument/hover', at(document.hover)));
  const complete = await times(requests, () => session.ask('textDocument/completion', at(document.complete)));
  const memory = session.memory();
  await session.close();
  return { typed, hover, complete, memory, started: session.started, findings: session.first.items?.length ?? 0 };
}

async function startTimes(entry, document) {
  const found = [];
  for (let n = 0; n < starts; n++) {
    const session = await open(entry, document);
    found.push(session.started);
    await session.close();
  }
  return found.sort((a, b) => a - b);
}

const ms = (value) => (value >= 100 ? value.toFixed(0) : value.toFixed(1));

async function rowsOf(name, entry, make) {
  const rows = [];
  for (const lines of sizes) {
    const document = make(lines);
    const found = await measure(entry, document, lines);
    const cells = [
      ...[lines.toLocaleString('en'), name],
      ...[quantile(found.typed, 0.5), quantile(found.typed, 0.95)].map(ms),
      ...[quantile(found.hover, 0.5), quantile(found.hover, 0.95)].map(ms),
      ...[quantile(found.complete, 0.5), quantile(found.complete, 0.95)].map(ms),
      ms(found.started),
      found.memory.toFixed(0),
    ];
    console.error(cells.join('  '), `(${found.findings} findings)`);
    rows.push({ lines, cells });
  }
  return rows;
}

const server = join(root, 'dist', 'server.cjs');
const hasPeer = installPeer();
const rows = await rowsOf('Festoon', server, display);
if (hasPeer) rows.push(...(await rowsOf('JSON server', peerEntry, json)));
rows.sort((a, b) => a.lines - b.lines);
const small = [['Festoon', await startTimes(server, display(sizes[0]))]];
if (hasPeer) small.push(['JSON server', await startTimes(peerEntry, json(sizes[0]))]);

const page = `# The language server beside a general one

Written by \`node tests/bench/editor.mjs --write\` on Node ${process.versions.node}, ${cpus().length} cores of ${cpus()[0]?.model.trim()}. Times are
milliseconds, memory is the resident size of the server's process in megabytes at the end of the session.

The peer is the JSON language server of the package vscode-langservers-extracted ${peerVersion}: it parses the text and
holds it to a schema. Festoon reads as many lines of a display (in the largest, ${display(20_000).pixels.toLocaleString('en')} pixels) and solves its electric
network. One client drives both with the same messages: a keystroke changes one digit in the middle of the document, and
the time runs from there until the findings of the whole document have come back.

| lines | server | key p50 | key p95 | hover p50 | hover p95 | completion p50 | completion p95 | open to findings | memory |
|---|---|---|---|---|---|---|---|---|---|
${rows.map(({ cells }) => `| ${cells.join(' | ')} |`).join('\n')}

From the start of the process to the first findings, ${sizes[0]} lines, ${starts} starts:
${small.map(([name, found]) => `${name} ${ms(quantile(found, 0.5))} ms (most ${ms(found.at(-1))} ms)`).join(', ')}.
`;
console.log(page);
if (process.argv.includes('--write')) writeFileSync(join(here, 'RESULTS-EDITOR.md'), page);
