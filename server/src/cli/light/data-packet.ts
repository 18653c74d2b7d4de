/**
 * A data packet of ANSI E1.31-2018 with 512 slots: root layer, framing layer and the property layer of ANSI E1.17,
 * 638 octets. Lengths count from their own first octet to the end of the packet, with 7 in the upper four bits.
 */
export interface DataPacket {
  /** The sender, a UUID as 16 octets. */
  readonly cid: Uint8Array;
  readonly sourceName: string;
  /** 0 to 200. */
  readonly priority: number;
  /** Counts up for each universe, from 255 on to 0. */
  readonly sequence: number;
  /** The last packets of a stream say that they are. */
  readonly terminated: boolean;
  readonly universe: number;
  /** 512 octets. */
  readonly slots: Uint8Array;
}

export const E131_PORT = 5568;

/** What a sender that has nothing to say about it is given. */
export const STANDARD_PRIORITY = 100;
export const MOST_PRIORITY = 200;

const LENGTH = 638;

/** Octets at which the layers start. */
const ROOT = 16;
const FRAMING = 38;
const PROPERTIES = 115;
const SLOTS = 126;

const ROOT_DATA = 4;
const FRAMING_DATA = 2;
const SET_PROPERTY = 2;
/** Addresses and data of two octets and one, as a range of equal steps. */
const RANGE_OF_OCTETS = 0xa1;
const TERMINATED = 0x40;
/** The name has 64 octets, the last of them always empty. */
const LONGEST_NAME = 63;

export function encodeDataPacket(packet: DataPacket): Uint8Array {
  const octets = new Uint8Array(LENGTH);
  const view = new DataView(octets.buffer);
  const lengthAt = (start: number) => view.setUint16(start, 0x7000 | (LENGTH - start));
  view.setUint16(0, 0x0010);
  octets.set(new TextEncoder().encode('ASC-E1.17'), 4);
  lengthAt(ROOT);
  view.setUint32(18, ROOT_DATA);
  octets.set(packet.cid.subarray(0, 16), 22);
  lengthAt(FRAMING);
  view.setUint32(40, FRAMING_DATA);
  octets.set(nameOctets(packet.sourceName), 44);
  octets[108] = packet.priority;
  octets[111] = packet.sequence;
  octets[112] = packet.terminated ? TERMINATED : 0;
  view.setUint16(113, packet.universe);
  lengthAt(PROPERTIES);
  octets[117] = SET_PROPERTY;
  octets[118] = RANGE_OF_OCTETS;
  view.setUint16(121, 1);
  // The start code, which is 0, and the slots.
  view.setUint16(123, 1 + packet.slots.length);
  octets.set(packet.slots.subarray(0, LENGTH - SLOTS), SLOTS);
  return octets;
}

/** As many whole characters of UTF-8 as there is room for. */
function nameOctets(name: string): Uint8Array {
  const octets = new Uint8Array(LONGEST_NAME);
  const { written } = new TextEncoder().encodeInto(name, octets);
  return octets.subarray(0, written);
}
