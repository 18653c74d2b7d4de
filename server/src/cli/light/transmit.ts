import { randomBytes } from 'node:crypto';
import { createSocket, type Socket } from 'node:dgram';
import { sure } from '#grammar/sure.ts';
import { EXIT, type Io } from '../io.ts';
import { encodeDataPacket } from './data-packet.ts';
import { LAST_PACKETS, type Transmission } from './transmission.ts';
import type { Universes } from './universes.ts';

/** Sends what is to be lit until the time is over or the person stops it; returns at once and keeps the process alive. */
export function transmit(transmission: Transmission, io: Pick<Io, 'out' | 'err'>): void {
  new Transmitter(transmission, io).start();
}

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

class Transmitter {
  private readonly transmission: Transmission;
  private readonly io: Pick<Io, 'out' | 'err'>;
  private readonly socket: Socket = createSocket('udp4');
  private readonly cid = newCid();
  private readonly sequences = new Map<number, number>();
  private readonly startedAt = performance.now();
  private timer: NodeJS.Timeout | undefined;
  private said: string | undefined;
  /** Rounds that are still to be sent once the end has come: one dark, then those that say so. */
  private endings: number | undefined;
  /** Packets that the system has not taken yet. */
  private pending = 0;

  constructor(transmission: Transmission, io: Pick<Io, 'out' | 'err'>) {
    this.transmission = transmission;
    this.io = io;
  }

  start(): void {
    this.socket.on('error', (error: NodeJS.ErrnoException) => this.fail(error));
    for (const signal of SIGNALS) process.once(signal, this.stop);
    this.timer = setInterval(() => this.tick(), Math.ceil(1000 / this.transmission.rate));
    this.tick();
  }

  private readonly stop = (): void => {
    this.endings ??= LAST_PACKETS + 1;
  };

  private tick(): void {
    const { seconds, frame, dark } = this.transmission;
    const now = (performance.now() - this.startedAt) / 1000;
    if (now >= seconds) this.stop();
    if (this.endings !== undefined) {
      this.send(dark, this.endings <= LAST_PACKETS);
      this.endings--;
      if (this.endings === 0) clearInterval(this.timer);
      return;
    }
    const { universes, says } = frame(now);
    if (says !== undefined && says !== this.said) this.io.out(`${says}\n`);
    this.said = says;
    this.send(universes, false);
  }

  private send(universes: Universes, terminated: boolean): void {
    const { address, port, sourceName, priority } = this.transmission;
    for (const [universe, slots] of universes) {
      const sequence = this.sequences.get(universe) ?? 0;
      this.sequences.set(universe, (sequence + 1) % 256);
      const packet = { cid: this.cid, sourceName, priority, sequence, terminated, universe, slots };
      this.pending++;
      this.socket.send(encodeDataPacket(packet), port, address, (error) => this.sent(error));
    }
  }

  private sent(error: NodeJS.ErrnoException | null): void {
    this.pending--;
    if (error !== null) return this.fail(error);
    if (this.endings !== 0 || this.pending > 0) return;
    this.close();
    this.io.out('Dark again, and the stream is ended.\n');
  }

  private fail(error: NodeJS.ErrnoException): void {
    if (process.exitCode === EXIT.usage) return;
    process.exitCode = EXIT.usage;
    const { address, port } = this.transmission;
    this.io.err(`festoon: nothing can be sent to ${address}:${port}: ${reasonOf(error)}.\n`);
    clearInterval(this.timer);
    this.close();
  }

  private close(): void {
    for (const signal of SIGNALS) process.removeListener(signal, this.stop);
    this.socket.close();
  }
}

function reasonOf({ code, message }: NodeJS.ErrnoException): string {
  switch (code) {
    case 'EACCES':
      return 'it is the address of a whole network, or a firewall forbids it. Give the address of the controller';
    case 'ENETUNREACH':
    case 'EHOSTUNREACH':
      return 'this computer has no way to it. Join the network that the controller is on';
    default:
      return code ?? message;
  }
}

/** A random UUID (RFC 9562, version 4): a new one each time, so that two computers never pass for one sender. */
function newCid(): Uint8Array {
  const cid = new Uint8Array(randomBytes(16));
  cid[6] = (sure(cid[6]) & 0x0f) | 0x40;
  cid[8] = (sure(cid[8]) & 0x3f) | 0x80;
  return cid;
}
