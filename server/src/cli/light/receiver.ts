import { sure } from '#grammar/sure.ts';
import { UsageError } from '../command.ts';
import { E131_PORT } from './data-packet.ts';

export interface Receiver {
  readonly address: string;
  readonly port: number;
}

/**
 * The receiver that a person names, "192.0.2.10" or "192.0.2.10:5568". No name is looked up, nothing is sent to all
 * computers of a network, and a multicast address is taken only where it is the group of the one universe that is sent:
 * 239.255 and the universe in two octets (ANSI E1.31-2018). Throws a UsageError for all else.
 */
export function receiverOf(text: string, universes: readonly number[]): Receiver {
  const [, address = '', port] = /^(\d{1,3}\.\d{1,3}\.\d{1,3}\.\d{1,3})(?::(\d{1,5}))?$/.exec(text.trim()) ?? [];
  const octets = address.split('.').map(Number);
  const [first = 0] = octets;
  const number = port === undefined ? E131_PORT : Number(port);
  if (address === '' || octets.some((octet) => octet > 255) || number < 1 || number > 65_535)
    throw new UsageError(`--to takes an IPv4 address such as 192.0.2.10 or 192.0.2.10:${E131_PORT}`);
  if (first === 0 || first >= 240) throw new UsageError(`${address} is no address of one controller`);
  if (first >= 224 && !(universes.length === 1 && address === groupOf(sure(universes[0]))))
    throw new UsageError(
      `${address} is a multicast address. ${
        universes.length === 1
          ? `That of universe ${universes[0]} is ${groupOf(sure(universes[0]))}.`
          : 'What you named lies in more than one universe, and each has its own: give the address of the controller.'
      }`,
    );
  return { address: octets.join('.'), port: number };
}

const groupOf = (universe: number) => `239.255.${universe >> 8}.${universe & 255}`;
