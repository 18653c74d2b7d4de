import { spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import {
  CancellationTokenSource,
  createMessageConnection,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-jsonrpc/node';

const SERVER = fileURLToPath(new URL('../../dist/server.cjs', import.meta.url));
const PROBE = fileURLToPath(new URL('soak-probe.cjs', import.meta.url));

const capabilities = {
  general: { positionEncodings: ['utf-16'] },
  textDocument: {
    diagnostic: { relatedDocumentSupport: false },
    hover: { contentFormat: ['markdown'] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ['markdown'] } },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: [] } } },
  },
  workspace: { didChangeWatchedFiles: { dynamicRegistration: true }, workspaceFolders: true },
};

/** What a request may be answered with when a newer edit made it pointless: cancelled, or the text has changed. */
const OVERTAKEN = new Set([-32800, -32801, -32802]);

/** An editor with all files of a folder open: it types, asks as it types, drops questions that are overtaken, saves. */
export class SoakEditor {
  /** Requests sent, answered, and answered with an error that is none of those expected. */
  asked = 0;
  answered = 0;
  overtaken = 0;
  refused = [];
  ended;
  pending = new Map();

  /** `texts` are those of the open files by address. */
  constructor(folder, texts) {
    this.texts = new Map(texts);
    this.versions = new Map();
    this.child = spawn(process.execPath, ['--expose-gc', '--require', PROBE, SERVER, '--stdio'], {
      stdio: ['pipe', 'pipe', 'inherit', 'ipc'],
    });
    this.exit = new Promise((resolve) =>
      this.child.once('exit', (code, signal) => {
        this.ended = code ?? signal;
        resolve(this.ended);
      }),
    );
    this.connection = createMessageConnection(
      new StreamMessageReader(this.child.stdout),
      new StreamMessageWriter(this.child.stdin),
    );
    this.connection.onRequest(() => null);
    this.connection.onNotification(() => undefined);
    this.connection.listen();
    this.folder = folder;
  }

  async start() {
    const workspaceFolders = [{ uri: this.folder, name: 'display' }];
    const rootUri = this.folder;
    await this.connection.sendRequest('initialize', {
      processId: process.pid,
      rootUri,
      workspaceFolders,
      capabilities,
    });
    await this.connection.sendNotification('initialized', {});
    for (const uri of this.texts.keys()) await this.open(uri);
  }

  async open(uri) {
    this.versions.set(uri, 1);
    await this.connection.sendNotification('textDocument/didOpen', {
      textDocument: { uri, languageId: 'festoon', version: 1, text: this.texts.get(uri) },
    });
  }

  async close(uri) {
    await this.connection.sendNotification('textDocument/didClose', { textDocument: { uri } });
  }

  /** Puts a text in the place of `length` characters at `offset`. */
  async edit(uri, offset, length, put) {
    const before = this.texts.get(uri);
    const range = { start: positionIn(before, offset), end: positionIn(before, offset + length) };
    this.texts.set(uri, before.slice(0, offset) + put + before.slice(offset + length));
    const version = this.versions.get(uri) + 1;
    this.versions.set(uri, version);
    await this.connection.sendNotification('textDocument/didChange', {
      textDocument: { uri, version },
      contentChanges: [{ range, text: put }],
    });
  }

  async save(uri) {
    writeFileSync(fileURLToPath(uri), this.texts.get(uri));
    await this.connection.sendNotification('textDocument/didSave', { textDocument: { uri } });
    await this.connection.sendNotification('workspace/didChangeWatchedFiles', { changes: [{ uri, type: 2 }] });
  }

  /** Asks, and drops the same question where it is still open for an older text. */
  ask(method, uri, params = {}) {
    const key = `${method} ${uri}`;
    this.pending.get(key)?.source.cancel();
    const source = new CancellationTokenSource();
    this.asked++;
    const answer = this.connection
      .sendRequest(method, { textDocument: { uri }, ...params }, source.token)
      .catch((error) => {
        if (OVERTAKEN.has(error.code)) this.overtaken++;
        else this.refused.push(`${method}: ${error.message}`);
      })
      .finally(() => {
        this.answered++;
        if (this.pending.get(key)?.source === source) this.pending.delete(key);
        source.dispose();
      });
    this.pending.set(key, { source, answer });
    return answer;
  }

  /** Waits for what is still open. */
  async answers() {
    await Promise.all([...this.pending.values()].map(({ answer }) => answer));
  }

  /** All that can be seen of every file, as text that can be compared. */
  async seen() {
    const views = [];
    for (const [uri, text] of [...this.texts].sort()) {
      const range = { start: { line: 0, character: 0 }, end: positionIn(text, text.length) };
      const { items } = await this.ask('textDocument/diagnostic', uri);
      const found = items.map(({ code, message, range, severity }) => ({ code, message, range, severity }));
      const { data } = await this.ask('textDocument/semanticTokens/full', uri);
      if (data.length === 0) throw new Error(`nothing is seen of ${uri}`);
      const symbols = await this.ask('textDocument/documentSymbol', uri);
      const hints = await this.ask('textDocument/inlayHint', uri, { range });
      const lenses = await this.ask('textDocument/codeLens', uri);
      const labels = hints.map(({ position, label }) => ({ position, label }));
      const folds = await this.ask('textDocument/foldingRange', uri);
      views.push(JSON.stringify({ uri, found, data, symbols, labels, lenses, folds }));
    }
    return views;
  }

  /** Megabytes of 10^6 bytes: resident before, and in use after all garbage is collected. */
  memory() {
    return new Promise((resolve) => {
      this.child.once('message', ({ rss, live }) => resolve({ resident: rss / 1e6, live: live / 1e6 }));
      this.child.send({});
    });
  }

  async stop() {
    await this.connection.sendRequest('shutdown');
    await this.connection.sendNotification('exit');
    const code = await this.exit;
    this.connection.dispose();
    return code;
  }

  kill() {
    this.connection.dispose();
    this.child.kill();
  }
}

export function positionIn(text, offset) {
  const lines = text.slice(0, offset).split('\n');
  return { line: lines.length - 1, character: lines.at(-1).length };
}
