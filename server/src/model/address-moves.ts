import { addressesOf, LAST_UNIVERSE, positionOf, type RunAddress, SLOTS_OF_UNIVERSE, slotsInRow } from './addresses.ts';
import type { Origin } from './finding.ts';
import type { Plan } from './plan.ts';

/** What a person changes to move an address: the pin of a run, or the universe from which those of a controller go on. */
export interface AddressMove {
  /** The run, or the controller. */
  readonly name: string;
  readonly isPin: boolean;
  readonly universeOrigin: Origin;
  /** Of a pin that says where in its universe it starts. */
  readonly slotOrigin: Origin | undefined;
  /** Behind all addresses, or where there is no room, the first from which all that moves fits; undefined where there is none. */
  readonly universe: number | undefined;
}

type Taken = Pick<RunAddress, 'from' | 'to'>;

/** How the addresses of some runs can be moved out of the way of all others and of one another, in their order. */
export function movesOf(plan: Plan, moved: readonly RunAddress[]): AddressMove[] {
  const units = new Map(moved.map((address) => [unitOf(address), address]));
  const all = [...addressesOf(plan).values()];
  const isMoved = (address: RunAddress) => units.has(unitOf(address));
  const taken: Taken[] = all.filter((address) => !isMoved(address));
  let behind = universeBehind(all);
  return [...units].flatMap(([unit, address]) => {
    const { run, controller, isPinned } = address;
    const its = all.filter((other) => unitOf(other) === unit).map((other) => other.run);
    const slots = slotsInRow(its);
    const universe = hasRoom(behind, slots) ? behind : firstFree(taken, slots);
    if (universe !== undefined) {
      const from = positionOf(universe, 1);
      taken.push({ from, to: from + slots });
      behind = Math.max(behind, universeBehind(taken.slice(-1)));
    }
    const universeOrigin = isPinned ? run.pin?.universeOrigin : controller.universes?.firstOrigin;
    if (universeOrigin === undefined) return [];
    const { name } = isPinned ? run : controller;
    return [{ name, isPin: isPinned, universeOrigin, slotOrigin: run.pin?.slotOrigin, universe }];
  });
}

/** What moves together: a pinned run alone, all others with their controller. */
function unitOf({ run, controller, isPinned }: RunAddress): unknown {
  return isPinned ? run : controller;
}

/** The first universe behind some addresses. */
export function universeBehind(taken: readonly Taken[]): number {
  return Math.ceil(taken.reduce((most, { to }) => Math.max(most, to), 0) / SLOTS_OF_UNIVERSE) + 1;
}

function hasRoom(universe: number, slots: number): boolean {
  return positionOf(universe, 1) + slots <= positionOf(LAST_UNIVERSE + 1, 1);
}

/** The first universe from which so many slots are free. */
function firstFree(taken: readonly Taken[], slots: number): number | undefined {
  let universe = 1;
  for (const address of [...taken].sort((a, b) => a.from - b.from)) {
    if (positionOf(universe, 1) + slots <= address.from) break;
    universe = Math.max(universe, universeBehind([address]));
  }
  return hasRoom(universe, slots) ? universe : undefined;
}
