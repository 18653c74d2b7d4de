import type { Io } from './io.ts';

type ErrorOutput = Pick<Io, 'err' | 'errIsTerminal'>;

/** Tells on a terminal that long work goes on, in one line on standard error that is taken away in the end. */
export class Progress {
  private readonly io: ErrorOutput;
  private done = 0;
  private shown = '';

  constructor(io: ErrorOutput) {
    this.io = io;
  }

  /** One more piece of work is done; few of them are over before a person asks. */
  step(): void {
    this.done++;
    if (!this.io.errIsTerminal || this.done % EVERY !== 0) return;
    this.show(`${this.done} changes of the plan tried … (Ctrl+C leaves it)`);
  }

  end(): void {
    if (this.shown !== '') this.show('');
  }

  private show(text: string): void {
    this.io.err(`\r${text.padEnd(this.shown.length)}${text === '' ? '\r' : ''}`);
    this.shown = text;
  }
}

/** Some seconds of work. */
const EVERY = 50;
