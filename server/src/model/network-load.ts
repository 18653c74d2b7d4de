import { addressesOf, type RunAddress, SLOTS_OF_UNIVERSE } from './addresses.ts';
import { Intervals } from './intervals.ts';
import type { Controller, Plan } from './plan.ts';

/** The universes that a controller receives, and what they make on the network. */
export interface NetworkLoad {
  readonly universes: number;
  readonly packetsPerSecond: number;
  readonly bitsPerSecond: number;
}

/**
 * Bytes of one packet of ANSI E1.31 with all 512 slots: root layer 38 (preamble size 2, postamble size 2, identifier 12,
 * flags and length 2, vector 4, sender 16), framing layer 77 (flags and length 2, vector 4, source name 64, priority 1,
 * synchronisation address 2, sequence 1, options 1, universe 2), device layer 523 (flags and length 2, vector 1, type 1,
 * first address 2, increment 2, count 2, start code 1, slots 512).
 */
export const DATA_BYTES = 38 + 77 + 523;

/** A synchronisation packet: root layer 38 and flags and length 2, vector 4, sequence 1, address 2, reserved 2. */
export const SYNCHRONISATION_BYTES = 38 + 11;

/**
 * What carries a packet: UDP 8 (RFC 768), IPv4 20 (RFC 791), Ethernet header 14 and check 4, preamble 8, gap between frames
 * 12 (IEEE 802.3).
 */
export const CARRIER_BYTES = 8 + 20 + 14 + 4 + 8 + 12;

/** The load of each controller that receives anything, at the frame rate of the plan, every packet full. */
export function networkLoads(plan: Plan): ReadonlyMap<Controller, NetworkLoad> {
  let loads = kept.get(plan);
  if (loads === undefined) {
    loads = findLoads(plan);
    kept.set(plan, loads);
  }
  return loads;
}

const kept = new WeakMap<Plan, ReadonlyMap<Controller, NetworkLoad>>();

/** The universes that a controller receives. */
export function universesOf(plan: Plan, controller: Controller): Intervals {
  const universes = new Intervals();
  for (const address of addressesOf(plan).values())
    if (address.controller === controller) addUniverses(universes, address);
  return universes;
}

/** A run has pixels in every universe from its first to its last. */
function addUniverses(universes: Intervals, { from, to }: RunAddress): void {
  universes.add(Math.floor(from / SLOTS_OF_UNIVERSE) + 1, Math.ceil(to / SLOTS_OF_UNIVERSE) + 1);
}

function findLoads(plan: Plan): ReadonlyMap<Controller, NetworkLoad> {
  const received = new Map<Controller, Intervals>();
  for (const address of addressesOf(plan).values()) {
    const universes = received.get(address.controller) ?? new Intervals();
    addUniverses(universes, address);
    received.set(address.controller, universes);
  }
  const { frameRate, data } = plan.design;
  const loads = new Map<Controller, NetworkLoad>();
  // Many receive as many universes as others, and share what that makes.
  const bySize = new Map<number, NetworkLoad>();
  for (const [controller, its] of received) {
    const size = its.stretches.reduce((sum, { from, to }) => sum + to - from, 0);
    const load = bySize.get(size) ?? loadOf(size, frameRate.value, data);
    bySize.set(size, load);
    loads.set(controller, load);
  }
  return loads;
}

/** What some universes make on the network at a frame rate, to one controller. */
export function loadOf(
  universes: number,
  framesPerSecond: number,
  { synchronised }: { readonly synchronised: boolean },
): NetworkLoad {
  const bytes = universes * (DATA_BYTES + CARRIER_BYTES) + (synchronised ? SYNCHRONISATION_BYTES + CARRIER_BYTES : 0);
  return {
    universes,
    packetsPerSecond: (universes + (synchronised ? 1 : 0)) * framesPerSecond,
    bitsPerSecond: bytes * 8 * framesPerSecond,
  };
}
