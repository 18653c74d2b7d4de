import type { Universes } from './universes.ts';

/** What is sent, where to and for how long; how it is sent is for whoever has a network. */
export interface Transmission {
  /** IPv4 address and port of the receiver. */
  readonly address: string;
  readonly port: number;
  readonly sourceName: string;
  readonly priority: number;
  /** Packets a second for each universe. */
  readonly rate: number;
  readonly seconds: number;
  /** What is lit so long after the start, and a line for the person who watches where that has changed. */
  readonly frame: (seconds: number) => { readonly universes: Universes; readonly says: string | undefined };
  /** The same universes with nothing lit: sent before the stream ends, since receivers may hold what came last. */
  readonly dark: Universes;
}

/**
 * Packets a second for one universe that a source may send: no more than a full universe of DMX512-A can carry
 * (ANSI E1.31-2018, transmission rate; ANSI E1.11 with 512 slots: 44 a second; from memory).
 */
export const MOST_RATE = 44;

/** How often the end of a stream is said (ANSI E1.31-2018, Stream_Terminated; from memory). */
export const LAST_PACKETS = 3;
