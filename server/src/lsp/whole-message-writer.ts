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
    const text = JSON.stringify(message);
    const size = Buffer.byteLength(text);
    const header = `Content-Length: ${size}\r\n\r\n`;
    // Into one buffer rather than one text: an outline of a large plan has megabytes, and a joined text is a copy more.
    const bytes = Buffer.allocUnsafe(header.length + size);
    bytes.write(header, 0, 'latin1');
    bytes.write(text, header.length, 'utf8');
    return new Promise((resolve, reject) => {
      this.stream.write(bytes, (error) => {
        if (error === undefined || error === null) return resolve();
        this.fireError(error, message, ++this.failures);
        reject(error);
      });
    });
  }

  end(): void {
    this.stream.end();
  }
}
