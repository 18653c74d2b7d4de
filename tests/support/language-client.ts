import { type ChildProcess, spawn } from 'node:child_process';
import { PassThrough } from 'node:stream';
import {
  type ClientCapabilities,
  createConnection,
  createProtocolConnection,
  type Diagnostic,
  type InitializeResult,
  type MessageConnection,
  type Position,
  type ProgressToken,
  ProposedFeatures,
  type ProtocolConnection,
  type PublishDiagnosticsParams,
  type Range,
  StreamMessageReader,
  StreamMessageWriter,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver/node';
import type { Disk } from '#server/lsp/files.ts';
import { startServer } from '#server/lsp/server.ts';

/** The capabilities of a client of today that asks for diagnostics. */
export const MODERN: ClientCapabilities = {
  general: { positionEncodings: ['utf-16'] },
  textDocument: {
    diagnostic: { relatedDocumentSupport: false, relatedInformation: true },
    hover: { contentFormat: ['markdown', 'plaintext'] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ['markdown'] } },
    definition: { linkSupport: true },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: [] } } },
    publishDiagnostics: { relatedInformation: true, versionSupport: true },
  },
  workspace: {
    workspaceEdit: { documentChanges: true },
    diagnostics: { refreshSupport: true },
    didChangeWatchedFiles: { dynamicRegistration: true },
    workspaceFolders: true,
  },
};

/** An older one: it shows what it is sent. */
export const PLAIN: ClientCapabilities = {
  textDocument: { publishDiagnostics: { relatedInformation: true, versionSupport: true } },
};

export const FOLDER = 'file:///display/';

export interface ClientOptions {
  readonly capabilities?: ClientCapabilities;
  /** Files that are not open, by path in the folder. Tests may change them and say so with `changedOnDisk`. */
  readonly files?: Map<string, string>;
  /** False: the client does not know our requests, as any editor but ours. */
  readonly handsOverFiles?: boolean;
  /** What the client waits for before it hands a file over. */
  readonly beforeFile?: (path: string) => Promise<void> | undefined;
  /** Of a server in this process: what it can read by itself, and the address of the page of codes. */
  readonly disk?: Disk;
  readonly page?: string;
  readonly folders?: readonly string[];
  readonly initializationOptions?: object;
  /** Said in place of what is usual when the session starts. */
  readonly initialize?: object;
}

/** A client that speaks to a server as an editor does, and waits for answers, never for time. */
export class LanguageClient {
  readonly connection: ProtocolConnection;
  readonly published: PublishDiagnosticsParams[] = [];
  readonly logged: string[] = [];
  readonly registered: string[] = [];
  readonly files: Map<string, string>;
  /** What the server told of its work, by token. */
  readonly progress: { readonly token: ProgressToken; readonly value: { kind?: string; items?: unknown[] } }[] = [];
  /** What the server had shown to the person. */
  readonly shown: string[] = [];
  /** What the client says to edits of the server, where it does not make them. */
  refusal: string | undefined;
  /** Tokens that the server asked for. */
  readonly created: ProgressToken[] = [];
  refreshes = 0;
  initialized!: InitializeResult;
  private readonly texts = new Map<string, { version: number; text: string }>();
  private readonly waiting = new Set<() => void>();
  private readonly end: () => Promise<void>;

  private constructor(connection: ProtocolConnection, options: ClientOptions, end: () => Promise<void>) {
    this.connection = connection;
    this.files = options.files ?? new Map();
    this.end = end;
    connection.onNotification('textDocument/publishDiagnostics', (params: PublishDiagnosticsParams) => {
      this.published.push(params);
      this.wake();
    });
    connection.onNotification('window/logMessage', ({ message }: { message: string }) => {
      this.logged.push(message);
      this.wake();
    });
    connection.onNotification('window/showMessage', ({ message }: { message: string }) => {
      this.shown.push(message);
      this.wake();
    });
    connection.onRequest('workspace/applyEdit', async ({ edit }: { edit: WorkspaceEdit }) => {
      if (this.refusal !== undefined) return { applied: false, failureReason: this.refusal };
      await this.apply(edit);
      return { applied: true };
    });
    connection.onRequest('client/registerCapability', ({ registrations }: { registrations: { method: string }[] }) => {
      this.registered.push(...registrations.map(({ method }) => method));
      this.wake();
      return null;
    });
    // The library has it; only this type of it does not say so.
    (connection as unknown as MessageConnection).onUnhandledProgress(({ token, value }) => {
      this.progress.push({ token, value });
      this.wake();
    });
    connection.onRequest('window/workDoneProgress/create', ({ token }: { token: ProgressToken }) => {
      this.created.push(token);
      this.wake();
      return null;
    });
    for (const method of [
      'workspace/diagnostic/refresh',
      'workspace/inlayHint/refresh',
      'workspace/semanticTokens/refresh',
    ]) {
      connection.onRequest(method, () => {
        if (method.includes('diagnostic')) this.refreshes++;
        this.wake();
        return null;
      });
    }
    if (options.handsOverFiles !== false) {
      connection.onRequest('festoon/readFile', async ({ uri }: { uri: string }) => {
        const path = decodeURIComponent(uri.slice(FOLDER.length));
        await options.beforeFile?.(path);
        const text = this.files.get(path);
        return text === undefined ? { error: 'no such file' } : { text };
      });
      connection.onRequest('festoon/findFiles', () => ({ uris: [...this.files.keys()].map((path) => FOLDER + path) }));
    }
    connection.listen();
  }

  /** A server in this process, spoken to over streams in memory. */
  static async inMemory(options: ClientOptions = {}): Promise<LanguageClient> {
    const [up, down] = [new PassThrough(), new PassThrough()];
    const server = createConnection(ProposedFeatures.all, up, down);
    startServer(server, options.disk, options.page);
    const connection = createProtocolConnection(new StreamMessageReader(down), new StreamMessageWriter(up));
    const client = new LanguageClient(connection, options, async () => {
      connection.dispose();
      server.dispose();
    });
    return client.initialize(options);
  }

  /** The built server as a process of its own, spoken to over its standard input and output. */
  static async spawned(command: string, args: readonly string[], options: ClientOptions = {}): Promise<LanguageClient> {
    const child: ChildProcess = spawn(command, args, { stdio: ['pipe', 'pipe', 'inherit'] });
    if (child.stdout === null || child.stdin === null) throw new Error('the server has no streams');
    const connection = createProtocolConnection(
      new StreamMessageReader(child.stdout),
      new StreamMessageWriter(child.stdin),
    );
    const ended = new Promise<number | null>((resolve) => child.once('exit', resolve));
    const client = new LanguageClient(connection, options, async () => {
      await connection.sendRequest('shutdown');
      await connection.sendNotification('exit');
      const code = await ended;
      connection.dispose();
      if (code !== 0) throw new Error(`the server ended with ${code}`);
    });
    return client.initialize(options);
  }

  private async initialize(options: ClientOptions): Promise<LanguageClient> {
    const folders = options.folders ?? [FOLDER.slice(0, -1)];
    this.initialized = await this.connection.sendRequest<InitializeResult>('initialize', {
      processId: null,
      rootUri: folders[0] ?? null,
      workspaceFolders: folders.map((uri) => ({ uri, name: uri })),
      capabilities: options.capabilities ?? MODERN,
      initializationOptions: options.initializationOptions,
      ...options.initialize,
    });
    await this.connection.sendNotification('initialized', {});
    return this;
  }

  async close(): Promise<void> {
    await this.end();
  }

  uri(path: string): string {
    return path.includes(':') ? path : FOLDER + path;
  }

  textOf(path: string): string {
    const found = this.texts.get(this.uri(path));
    if (found === undefined) throw new Error(`${path} is not open`);
    return found.text;
  }

  versionOf(path: string): number {
    return this.texts.get(this.uri(path))?.version ?? -1;
  }

  async open(path: string, text: string): Promise<void> {
    const uri = this.uri(path);
    this.texts.set(uri, { version: 1, text });
    await this.connection.sendNotification('textDocument/didOpen', {
      textDocument: { uri, languageId: 'festoon', version: 1, text },
    });
  }

  /** Replaces a range, or without one the whole text. */
  async change(path: string, text: string, range?: Range): Promise<void> {
    const uri = this.uri(path);
    const before = this.texts.get(uri);
    if (before === undefined) throw new Error(`${path} is not open`);
    const version = before.version + 1;
    const next =
      range === undefined
        ? text
        : before.text.slice(0, offsetIn(before.text, range.start)) +
          text +
          before.text.slice(offsetIn(before.text, range.end));
    this.texts.set(uri, { version, text: next });
    const contentChanges = [range === undefined ? { text } : { range, text }];
    await this.connection.sendNotification('textDocument/didChange', {
      textDocument: { uri, version },
      contentChanges,
    });
  }

  async closeFile(path: string): Promise<void> {
    this.texts.delete(this.uri(path));
    await this.connection.sendNotification('textDocument/didClose', { textDocument: { uri: this.uri(path) } });
  }

  /** 1 created, 2 changed, 3 deleted. */
  async changedOnDisk(path: string, type: 1 | 2 | 3): Promise<void> {
    await this.connection.sendNotification('workspace/didChangeWatchedFiles', {
      changes: [{ uri: this.uri(path), type }],
    });
  }

  ask<T>(method: string, path: string, params: object = {}): Promise<T> {
    return this.connection.sendRequest<T>(method, { textDocument: { uri: this.uri(path) }, ...params });
  }

  async pull(path: string): Promise<Diagnostic[]> {
    const report = await this.ask<{ items: Diagnostic[] }>('textDocument/diagnostic', path);
    return report.items;
  }

  /** The position right behind the first occurrence of some text, or in front of it. */
  at(path: string, word: string, side: 'before' | 'behind' = 'before'): Position {
    const text = this.textOf(path);
    const found = text.indexOf(word);
    if (found < 0) throw new Error(`"${word}" does not stand in ${path}`);
    return positionIn(text, side === 'before' ? found : found + word.length);
  }

  /**
   * Makes the edits of open files and tells the server, as an editor does. Refuses edits for another version; those that
   * say none are made as they are.
   */
  async apply(edit: WorkspaceEdit): Promise<void> {
    for (const [uri, edits] of Object.entries(edit.changes ?? {}))
      await this.change(uri, withEdits(this.textOf(uri), edits));
    for (const change of edit.documentChanges ?? []) {
      if (!('edits' in change)) throw new Error('not an edit of a text');
      const { uri, version } = change.textDocument;
      const open = this.texts.get(uri);
      if (open === undefined) throw new Error(`${uri} is not open`);
      if (version !== open.version)
        throw new Error(`edits for version ${version} of ${uri}, which is at ${open.version}`);
      await this.change(uri, withEdits(open.text, change.edits as TextEdit[]));
    }
  }

  /** Waits until something holds that notifications or requests of the server make true. */
  async until<T>(look: () => T | undefined | false): Promise<T> {
    for (;;) {
      const found = look();
      if (found !== undefined && found !== false) return found;
      await new Promise<void>((resolve) => {
        this.waiting.add(resolve);
      });
    }
  }

  /** The findings sent for a version of a file. */
  sentFor(path: string, version?: number): Promise<PublishDiagnosticsParams> {
    const uri = this.uri(path);
    return this.until(() =>
      this.published.findLast((sent) => sent.uri === uri && (version === undefined || sent.version === version)),
    );
  }

  private wake(): void {
    for (const resolve of this.waiting) resolve();
    this.waiting.clear();
  }
}

export function positionIn(text: string, offset: number): Position {
  const before = text.slice(0, offset).split(/\r\n|\n|\r/);
  return { line: before.length - 1, character: before.at(-1)?.length ?? 0 };
}

export function offsetIn(text: string, { line, character }: Position): number {
  const breaks = [...text.matchAll(/\r\n|\n|\r/g)];
  const last = line === 0 ? undefined : breaks[line - 1];
  return (last === undefined ? 0 : last.index + last[0].length) + character;
}

export function withEdits(text: string, edits: readonly TextEdit[]): string {
  const placed = edits.map((edit, order) => ({
    start: offsetIn(text, edit.range.start),
    end: offsetIn(text, edit.range.end),
    text: edit.newText,
    order,
  }));
  placed.sort((a, b) => b.start - a.start || b.order - a.order);
  return placed.reduce((result, { start, end, text: put }) => result.slice(0, start) + put + result.slice(end), text);
}
