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
  write(message: Message): Promise<void> {
    const text = JSON.stringify(message);
    return new Promise((resolve, reject) => {
      this.stream.write(`Content-Length: ${Buffer.byteLength(text)}\r\n\r\n${text}`, 'utf8', (error) => {
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
