import { createSocket } from 'node:dgram';
import { afterEach, describe, expect, it } from 'vitest';
import { EXIT } from '#server/cli/io.ts';
import type { Transmission } from '#server/cli/light/transmission.ts';
import { transmit } from '#server/cli/light/transmit.ts';

/** What is sent, seen from the other end of the loopback network. Octets are numbered as in ANSI E1.31-2018, table 4-1. */
const OPTIONS = 112;
const SEQUENCE = 111;
const FIRST_SLOT = 126;
const TERMINATED = 0x40;

const exitCode = process.exitCode;
afterEach(() => {
  process.exitCode = exitCode;
});

const LIT = new Map([[7, new Uint8Array([255, 0, 10])]]);
const DARK = new Map([[7, new Uint8Array(3)]]);

async function sent(part: Partial<Transmission>, stopAfter = Number.POSITIVE_INFINITY) {
  const packets: Buffer[] = [];
  const socket = createSocket('udp4');
  await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', resolve));
  let [out, err] = ['', ''];
  const { port } = socket.address();
  await new Promise<void>((resolve) => {
    socket.on('message', (packet) => {
      packets.push(packet);
      if (packets.length === stopAfter) process.emit('SIGTERM');
      if (((packet[OPTIONS] ?? 0) & TERMINATED) !== 0 && packets.filter(isTerminated).length === 3) resolve();
    });
    const say = (text: string) => {
      out += text;
    };
    const complain = (text: string) => {
      err += text;
      resolve();
    };
    transmit(
      {
        ...{ address: '127.0.0.1', port, sourceName: 'Porch', priority: 100, rate: 44, seconds: 0.2 },
        frame: () => ({ universes: LIT, says: 'Pixel 1 is lit.' }),
        dark: DARK,
        ...part,
      },
      { out: say, err: complain },
    );
  });
  await new Promise<void>((resolve) => socket.close(() => resolve()));
  return { packets, out, err };
}

const isTerminated = (packet: Buffer) => packet[OPTIONS] === TERMINATED;
const slots = (packet: Buffer) => [...packet.subarray(FIRST_SLOT, FIRST_SLOT + 3)];

describe('what is sent to a receiver', () => {
  it('is lit until the time is over, then dark once, then three times the end', async () => {
    const { packets, out, err } = await sent({});
    expect(err).toBe('');
    const ending = packets.slice(-4);
    expect(ending.map((packet) => packet[OPTIONS])).toEqual([0, TERMINATED, TERMINATED, TERMINATED]);
    expect(ending.map(slots)).toEqual(ending.map(() => [0, 0, 0]));
    const lit = packets.slice(0, -4);
    expect(lit.length).toBeGreaterThan(0);
    expect(lit.map(slots)).toEqual(lit.map(() => [255, 0, 10]));
    expect(packets.map((packet) => packet[SEQUENCE])).toEqual(packets.map((_, index) => index));
    // What is lit is said once, not with each packet.
    expect(out.match(/Pixel 1 is lit\./g)).toHaveLength(1);
  });

  it('ends in the same way when the program is told to stop', async () => {
    const { packets } = await sent({ seconds: 3600 }, 2);
    expect(packets.slice(-4).map((packet) => packet[OPTIONS])).toEqual([0, TERMINATED, TERMINATED, TERMINATED]);
    expect(packets.length).toBeLessThan(20);
  });

  it('says what to do where the network takes nothing, once, and the program ends with 2', async () => {
    // Without leave, nothing may be sent to a whole network (EACCES, POSIX sendto).
    const { err } = await sent({ address: '255.255.255.255', seconds: 3600 });
    expect(err).toMatch(
      /^festoon: nothing can be sent to 255\.255\.255\.255:\d+: it is the address of a whole network, /,
    );
    expect(err.match(/festoon:/g)).toHaveLength(1);
    expect(process.exitCode).toBe(EXIT.usage);
  });
});
