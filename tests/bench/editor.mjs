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

/** Times of some pieces of work done in turn, so that whatever else the machine does falls on all of them alike. */
async function times(count, works) {
  for (let n = 0; n < warmUp; n++) for (const work of works) await work(n);
  const found = works.map(() => []);
  for (let n = 0; n < count; n++) {
    for (const [index, work] of works.entries()) {
      const from = performance.now();
      await work(n + warmUp);
      found[index].push(performance.now() - from);
    }
  }
  return found.map((list) => list.sort((x, y) => x - y));
}

const quantile = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];

/** The keystrokes of a session: each changes the same digit and waits for the findings. */
function typist(session, document) {
  const start = positionOf(document.text, document.typed);
  const range = { start, end: { ...start, character: start.character + 1 } };
  let version = 1;
  return async (n) => {
    const text = n % 2 === 0 ? document.typed.other : document.typed.one;
    const textDocument = { uri: session.uri, version: ++version };
    await session.connection.sendNotification('textDocument/didChange', {
      textDocument,
      contentChanges: [{ range, text }],
    });
    await session.ask('textDocument/diagnostic');
  };
}

/** One row for each server, measured side by side with documents of as many lines. */
async function rowsOf(lines, servers) {
  const parties = [];
  for (const { name, entry, make } of servers) {
    const document = make(lines);
    parties.push({ name, document, session: await open(entry, document) });
  }
  const asker = (method, key) =>
    parties.map(({ session, document }) => {
      const position = positionOf(document.text, document[key]);
      return () => session.ask(method, { position });
    });
  const typed = await times(
    keystrokes[lines],
    parties.map(({ session, document }) => typist(session, document)),
  );
  const hover = await times(requests, asker('textDocument/hover', 'hover'));
  const complete = await times(requests, asker('textDocument/completion', 'complete'));
  const rows = parties.map(({ name, session }, index) => {
    const spread = (lists) => [0.5, 0.95].map((share) => ms(quantile(lists[index], share)));
    const memory = session.memory().toFixed(0);
    return [
      lines.toLocaleString('en'),
      name,
      ...spread(typed),
      ...spread(hover),
      ...spread(complete),
      ms(session.started),
      memory,
    ];
  });
  for (const { session } of parties) await session.close();
  return rows;
}

async function startTimes(servers) {
  const found = servers.map(() => []);
  for (let n = 0; n < starts; n++) {
    for (const [index, { entry, make }] of servers.entries()) {
      const session = await open(entry, make(sizes[0]));
      found[index].push(session.started);
      await session.close();
    }
  }
  return found.map((list) => list.sort((x, y) => x - y));
}

const ms = (value) => (value >= 100 ? value.toFixed(0) : value.toFixed(1));

const servers = [{ name: 'Festoon', entry: join(root, 'dist', 'server.cjs'), make: display }];
if (installPeer()) servers.push({ name: 'JSON server', entry: peerEntry, make: json });
const rows = [];
for (const lines of sizes) rows.push(...(await rowsOf(lines, servers)));
const small = await startTimes(servers);

const page = `# The language server beside a general one

Written by \`node tests/bench/editor.mjs --write\` on Node ${process.versions.node}, ${cpus().length} cores of ${cpus()[0]?.model.trim()}. Times are
milliseconds, memory is the resident size of the server's process in megabytes at the end of the session.

The peer is the JSON language server of the package vscode-langservers-extracted ${peerVersion}: it parses the text and
holds it to a schema. Festoon reads as many lines of a display (in the largest, ${display(20_000).pixels.toLocaleString('en')} pixels) and solves its electric
network. One client drives both with the same messages: a keystroke changes one digit in the middle of the document, and
the time runs from there until the findings of the whole document have come back. The two servers are asked in turn, so
that what else the machine does falls on both alike.

| lines | server | key p50 | key p95 | hover p50 | hover p95 | completion p50 | completion p95 | open to findings | memory |
|---|---|---|---|---|---|---|---|---|---|
${rows.map((cells) => `| ${cells.join(' | ')} |`).join('\n')}

From the start of the process to the first findings, ${sizes[0]} lines, ${starts} starts:
${small.map((found, index) => `${servers[index].name} ${ms(quantile(found, 0.5))} ms (most ${ms(found.at(-1))} ms)`).join(', ')}.
`;
console.log(page);
if (process.argv.includes('--write')) writeFileSync(join(here, 'RESULTS-EDITOR.md'), page);
