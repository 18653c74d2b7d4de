import type { Writable } from 'node:stream';
import { AbstractMessageWriter, type Message, type MessageWriter } from 'vscode-languageserver/node';

/**
 * Writes messages to a stream, each at once. The library's own writer sends the header first and waits until it is away:
 * two calls of the system for each message, and a client that wakes up for a header alone.
 */
export class WholeMessageWriter extends AbstractMessageWriter implements MessageWriter {
  private readonly stream: Writable;
  private failures = 0;

  constructor(stream: Writable) {
    super();
    this.stream = stream;
    stream.on('error', (error) => this.fireError(error));
    stream.on('close', () => this.fireClose());
  }

  /** Rejects when the stream is broken. */
  async write(message: Message): Promise<void> {
    const pieces = piecesOf(message);
    const header = `Content-Length: ${pieces.reduce((sum, { length }) => sum + length, 0)}\r\n\r\n`;
    const bytes = Buffer.concat([Buffer.from(header, 'latin1'), pieces[0] ?? NOTHING]);
    return new Promise((resolve, reject) => {
      const done = (error?: Error | null) => {
        if (error === undefined || error === null) return resolve();
        this.fireError(error, message, ++this.failures);
        reject(error);
      };
      if (pieces.length === 1) return void this.stream.write(bytes, done);
      this.stream.cork();
      this.stream.write(bytes);
      for (const piece of pieces.slice(1, -1)) this.stream.write(piece);
      this.stream.write(pieces.at(-1), done);
      this.stream.uncork();
    });
  }

  end(): void {
    this.stream.end();
  }
}

const NOTHING = Buffer.alloc(0);

/** Items of an answer that are written together, and characters of a piece. */
const MOST_ITEMS = 200;
const PIECE = 65_536;

/**
 * A message as bytes. A long list is turned to text item by item: as one text, the outline of a large plan would take
 * megabytes of the heap at a time, which are then collected with all else.
 */
function piecesOf(message: Message): Buffer[] {
  const { result, ...rest } = message as Message & { readonly result?: unknown };
  if (!Array.isArray(result) || result.length <= MOST_ITEMS) return [Buffer.from(JSON.stringify(message))];
  const pieces: Buffer[] = [];
  let text = `${JSON.stringify(rest).slice(0, -1)},"result":[`;
  for (const [index, item] of result.entries()) {
    text += `${index === 0 ? '' : ','}${JSON.stringify(item) ?? 'null'}`;
    if (text.length < PIECE) continue;
    pieces.push(Buffer.from(text));
    text = '';
  }
  return [...pieces, Buffer.from(`${text}]}`)];
}
