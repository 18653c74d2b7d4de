import { type ChildProcess, spawn } from 'node:child_process';

/** A server process that is spoken to in bytes, so that a test may say what no client library would send. */
export class RawServer {
  readonly answers = new Map<string | number, { result?: unknown; error?: { code: number; message: string } }>();
  /** Ids that were answered more than one time. */
  readonly twice: (string | number)[] = [];
  /** Set when the process has ended, whatever for. */
  ended: number | string | undefined;
  readonly complaints: string[] = [];
  /** What the server logged. */
  readonly logged: string[] = [];
  private readonly child: ChildProcess;
  private received = Buffer.alloc(0);
  private readonly waiting = new Set<() => void>();

  constructor(script: string) {
    this.child = spawn(process.execPath, [script, '--stdio'], { stdio: ['pipe', 'pipe', 'pipe'] });
    this.child.stdout?.on('data', (chunk: Buffer) => this.receive(chunk));
    this.child.stderr?.on('data', (chunk: Buffer) => this.complaints.push(chunk.toString()));
    this.child.stdin?.on('error', () => undefined);
    this.child.once('exit', (code, signal) => {
      this.ended = code ?? signal ?? 'unknown';
      this.wake();
    });
  }

  get pid(): number {
    return this.child.pid ?? 0;
  }

  /** Bytes as they are, without a header. */
  write(bytes: Uint8Array | string): void {
    this.child.stdin?.write(bytes);
  }

  /** A body with the header that it needs, whatever the body is. */
  frame(body: Uint8Array | string): void {
    const bytes = Buffer.from(body);
    this.write(Buffer.concat([Buffer.from(`Content-Length: ${bytes.length}\r\n\r\n`), bytes]));
  }

  send(message: object): void {
    this.frame(JSON.stringify({ jsonrpc: '2.0', ...message }));
  }

  /** Waits for the answers to some requests; rejects when the process ends before. */
  async answersTo(ids: readonly (string | number)[]): Promise<void> {
    for (;;) {
      if (ids.every((id) => this.answers.has(id))) return;
      if (this.ended !== undefined)
        throw new Error(`the server ended with ${this.ended}: ${this.complaints.join('').slice(0, 2000)}`);
      await new Promise<void>((resolve) => {
        this.waiting.add(resolve);
      });
    }
  }

  async exit(): Promise<number | string> {
    if (this.ended === undefined)
      await new Promise<void>((resolve) => {
        this.child.once('exit', () => resolve());
      });
    return this.ended ?? 'unknown';
  }

  kill(): void {
    this.child.kill();
  }

  private receive(chunk: Buffer): void {
    this.received = Buffer.concat([this.received, chunk]);
    for (;;) {
      const head = this.received.indexOf('\r\n\r\n');
      const length = Number(
        /Content-Length: (\d+)/i.exec(this.received.subarray(0, Math.max(0, head)).toString())?.[1],
      );
      if (head < 0 || !(this.received.length >= head + 4 + length)) break;
      this.take(JSON.parse(this.received.subarray(head + 4, head + 4 + length).toString()));
      this.received = this.received.subarray(head + 4 + length);
    }
    this.wake();
  }

  private take(message: { id?: string | number; method?: string; params?: { message?: string }; error?: never }): void {
    if (message.method === 'window/logMessage') this.logged.push(message.params?.message ?? '');
    if (message.method === undefined && message.id !== undefined && message.id !== null) {
      if (this.answers.has(message.id)) this.twice.push(message.id);
      this.answers.set(message.id, message);
    }
    // What the server asks of its client is answered with nothing.
    else if (message.method !== undefined && message.id !== undefined) this.send({ id: message.id, result: null });
  }

  private wake(): void {
    for (const resolve of this.waiting) resolve();
    this.waiting.clear();
  }
}
