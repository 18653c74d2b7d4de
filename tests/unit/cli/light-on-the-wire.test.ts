import { execFileSync, spawn } from 'node:child_process';
import { createSocket } from 'node:dgram';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { root } from '../house/tree.ts';
import { SMALL } from './console.ts';

/**
 * What the built program puts on the loopback network, read back by a socket and by a general protocol analyser (tshark),
 * whose dissector of ANSI E1.17 and E1.31 knows nothing of ours.
 */
const PLACES = ['/usr/bin/tshark', '/usr/local/bin/tshark'];

/** The analyser; on a Debian where we may, it is installed. Undefined elsewhere: then its test is skipped and says so. */
function findAnalyser(): string | undefined {
  const found = PLACES.find(existsSync);
  if (found !== undefined || process.getuid?.() !== 0 || !existsSync('/etc/debian_version')) return found;
  try {
    const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
    execFileSync('apt-get', ['install', '-y', '--no-install-recommends', 'tshark'], {
      stdio: 'pipe',
      timeout: 300_000,
      env,
    });
  } catch {
    return undefined;
  }
  return PLACES.find(existsSync);
}

interface Sent {
  readonly packets: readonly Buffer[];
  readonly out: string;
  readonly code: number | null;
}

/** Runs the program against a socket of ours until it ends; `stopAfter` interrupts it once so many packets came. */
async function listen(plan: string, args: readonly string[], stopAfter = Number.POSITIVE_INFINITY): Promise<Sent> {
  const packets: Buffer[] = [];
  const socket = createSocket('udp4');
  await new Promise<void>((resolve) => socket.bind(0, '127.0.0.1', resolve));
  const to = `127.0.0.1:${socket.address().port}`;
  const child = spawn(process.execPath, [join(root, 'dist/cli.cjs'), 'light', plan, ...args, '--to', to]);
  let out = '';
  child.stdout.on('data', (text) => {
    out += text;
  });
  socket.on('message', (packet) => {
    packets.push(packet);
    if (packets.length === stopAfter) child.kill('SIGINT');
  });
  const code = await new Promise<number | null>((resolve) => child.on('close', resolve));
  // What the program sent before it ended may still lie in the socket.
  await new Promise((resolve) => setTimeout(resolve, 50));
  await new Promise<void>((resolve) => socket.close(() => resolve()));
  return { packets, out, code };
}

/** A capture file (pcap, 1999 format) of raw IPv4 with each packet in UDP to the port of the protocol. */
function capture(packets: readonly Buffer[]): Buffer {
  const head = Buffer.alloc(24);
  head.writeUInt32LE(0xa1b2c3d4, 0);
  head.writeUInt16LE(2, 4);
  head.writeUInt16LE(4, 6);
  head.writeUInt32LE(65_535, 16);
  head.writeUInt32LE(101, 20); // raw IP
  const frames = packets.flatMap((packet, index) => {
    const record = Buffer.alloc(16);
    record.writeUInt32LE(index, 0);
    record.writeUInt32LE(28 + packet.length, 8);
    record.writeUInt32LE(28 + packet.length, 12);
    const ip = Buffer.alloc(20);
    ip[0] = 0x45;
    ip.writeUInt16BE(28 + packet.length, 2);
    ip[8] = 64;
    ip[9] = 17;
    ip.set([127, 0, 0, 1, 127, 0, 0, 1], 12);
    const udp = Buffer.alloc(8);
    udp.writeUInt16BE(50_000, 0);
    udp.writeUInt16BE(5568, 2);
    udp.writeUInt16BE(8 + packet.length, 4);
    return [record, ip, udp, packet];
  });
  return Buffer.concat([head, ...frames]);
}

describe('festoon light on the wire', { timeout: 60_000 }, () => {
  let folder = '';
  let plan = '';
  let sent: Sent;

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'festoon-light-'));
    plan = join(folder, 'plan.festoon');
    writeFileSync(plan, SMALL.replace('at shed\n\nrun', 'at shed {\n  universes from 259\n}\n\nrun'));
    sent = await listen(plan, ['porch-edge[2]', '--colour', 'green', '--for', '0.5', '--rate', '20']);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('sends whole packets, the last of them dark, and says that the stream ends', () => {
    expect(sent.code).toBe(0);
    expect(new Set(sent.packets.map((packet) => packet.length))).toEqual(new Set([638]));
    // Half a second at 20 a second is 10 rounds, 11 where the first and the last are sent at its very ends; then one dark
    // and three that end the stream.
    expect(sent.packets.length).toBeGreaterThanOrEqual(5);
    expect(sent.packets.length).toBeLessThanOrEqual(15);
    const [terminated, lit] = [sent.packets.map((packet) => packet[112]), sent.packets.map((packet) => packet[130])];
    expect(terminated.slice(-5)).toEqual([0, 0, 0x40, 0x40, 0x40]);
    // Slot 5 is the green of pixel 2, octet 125 + 5.
    expect(lit.slice(0, -4)).toEqual(lit.slice(0, -4).map(() => 51));
    expect(lit.slice(-4)).toEqual([0, 0, 0, 0]);
    expect(sent.packets.map((packet) => packet[111])).toEqual(sent.packets.map((_, index) => index));
    expect(sent.out).toContain('Dark again');
  });

  it('ends the stream in the same way when it is interrupted', async () => {
    const { packets, code } = await listen(plan, ['porch-edge', '--for', '60'], 3);
    expect(code).toBe(0);
    expect(packets.map((packet) => packet[112]).slice(-4)).toEqual([0, 0x40, 0x40, 0x40]);
  });

  it('is read by a general protocol analyser as the standard has it', { timeout: 320_000 }, ({ skip }) => {
    const analyser = findAnalyser();
    if (analyser === undefined) return skip('tshark is not here; on Debian: apt-get install tshark');
    const file = join(folder, 'light.pcap');
    writeFileSync(file, capture(sent.packets));
    const fields = [...Object.keys(READ), 'acn.cid', 'acn.dmx.option_s', 'acn.dmx.seq_number', 'acn.dmx.data'];
    const options = ['--enable-heuristic', 'acn', '-o', 'acn.dmx_enable:TRUE', '-T', 'fields', '-E', 'separator=|'];
    const out = execFileSync(analyser, ['-r', file, ...options, ...fields.flatMap((field) => ['-e', field])], {
      encoding: 'utf8',
      stdio: 'pipe',
    });
    const rows = out
      .trimEnd()
      .split('\n')
      .map((line) => line.split('|'));
    expect(rows.length).toBe(sent.packets.length);
    const known = Object.values(READ);
    for (const row of rows) expect(row.slice(0, known.length)).toEqual(known);
    const [cids, ends, numbers] = [0, 1, 2].map((index) => rows.map((row) => row[known.length + index]));
    expect(new Set(cids).size).toBe(1);
    expect(cids?.[0]).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    expect(ends?.slice(-4)).toEqual(['0', '1', '1', '1']);
    expect(numbers).toEqual(rows.map((_, index) => String(index)));
    // Its table of slots 1 to 10: 33 hexadecimal is 51.
    const slots = (row: readonly string[] | undefined) => row?.slice(known.length + 3).join('|') ?? '';
    expect(slots(rows[0])).toMatch(/001-020: \.\. \.\. \.\. \.\. 33 \.\. \.\. /);
    expect(slots(rows.at(-1))).toMatch(/001-020: /);
    expect(slots(rows.at(-1))).not.toContain('33');
  });
});

/** What the analyser must read in every packet, by the names that it has for it. */
const READ = {
  'acn.packet_identifier': 'ASC-E1.17',
  'acn.pdu.length': '622,600,523',
  'acn.protocol_id': '4',
  'acn.dmx.source_name': 'Festoon',
  'acn.dmx.priority': '100',
  'acn.dmx.option_p': '0',
  'acn.dmx.universe': '259',
  'acn.dmx.start_code2': '0',
  'acn.dmp_adt_a': '1',
  'acn.dmp_adt_d': '2',
  'acn.dmx.first_property_address': '0',
  'acn.dmx.increment': '1',
  'acn.dmx.count': '513',
  '_ws.malformed': '',
  '_ws.expert': '',
};
