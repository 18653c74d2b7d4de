import type { Plan, Run, Supply } from '../model/plan.ts';
import { shortestWay, type Way } from '../model/shortest-way.ts';
import type { IslandCircuit } from '../model/to-circuit.ts';
import { Zones } from '../model/zones.ts';
import { fuseRange } from './outputs.ts';
import type { WiredCable } from './reach.ts';
import type { Spot } from './spots.ts';

/** One way to bring power to a run: which supply, which cable, how many in parallel, as feeds of their own or as one trunk. */
export interface Choice {
  readonly supply: Supply;
  readonly cable: WiredCable;
  readonly parallel: number;
  readonly trunk: boolean;
  readonly way: Way | undefined;
  /** Limited routes that each cable takes. */
  readonly limited: number;
  /** Most cables that these routes have room for. */
  readonly room: number;
  /** m of cable from the supply to the start of the run, slack included. */
  readonly reach: number;
  /** m that lengths are rounded up to. */
  readonly step: number;
}

/** What a person pays for an answer, in the order in which it counts. */
export interface Cost {
  /** Cables through limited routes, doubled ones counted as two. */
  readonly limited: number;
  readonly taps: number;
  /** m3 of copper in one rail. */
  readonly copper: number;
}

export function compareCosts(a: Cost, b: Cost): number {
  const copper = a.copper - b.copper;
  return a.limited - b.limited || a.taps - b.taps || (Math.abs(copper) <= 1e-9 * a.copper ? 0 : copper);
}

export function costOf(choice: Choice, spots: readonly Spot[]): Cost {
  const metres = cableLengths(choice, spots).reduce((sum, length) => sum + length, 0);
  return {
    limited: choice.limited * choice.parallel * (choice.trunk ? 1 : spots.length),
    taps: spots.length,
    copper: metres * choice.parallel * choice.cable.conductor.area * 1e-6,
  };
}

/** m of cable to each tap, in the order along the run: from the supply, or on a trunk from the tap before. */
export function cableLengths({ reach, step, trunk }: Choice, spots: readonly Spot[]): number[] {
  const rounded = (length: number) => Math.max(step, Math.ceil(length / step - 1e-9) * step);
  return spots.map(({ along }, index) => {
    const before = spots[index - 1];
    return trunk && before !== undefined ? rounded(along - before.along) : rounded(reach + along);
  });
}

/** Every choice for a run and a supply, thin cables first. `passing` says how many cables a route has already. */
export function choicesFor(
  plan: Plan,
  run: Run,
  supply: Supply,
  cables: readonly WiredCable[],
  passing: (route: Way['routes'][number]) => number,
): Choice[] {
  const way =
    supply.place === undefined || run.place === undefined
      ? undefined
      : shortestWay(plan.routes, supply.place, run.place);
  const routes = way?.routes.filter((route) => route.most !== undefined) ?? [];
  const room = Math.min(...routes.map((route) => (route.most ?? 0) - passing(route)), Number.POSITIVE_INFINITY);
  const lead = run.pieces.find((piece) => piece.kind === 'lead');
  const base = {
    supply,
    way: way === undefined || way.routes.length === 0 ? undefined : way,
    limited: routes.length,
    room,
    reach: (way?.length ?? lead?.length ?? 1) + 2 * plan.design.slack.value,
    step: plan.design.units === 'metric' ? 0.5 : 0.3048,
  };
  return cables.flatMap((cable) =>
    [1, 2].flatMap((parallel) => {
      if (fuseRange(cable, parallel) === undefined) return [];
      return [false, true].map((trunk) => ({ ...base, cable, parallel, trunk }));
    }),
  );
}

/** Places where a feed of a supply meets no other supply that it has not met already. */
export function spotsOfSupply(circuit: IslandCircuit, supply: Supply, spots: readonly Spot[]): Spot[] {
  const zones = new Zones(circuit);
  const foreign = new Set<number>();
  for (const other of circuit.sources) {
    const rails = circuit.supplies.get(other);
    if (rails !== undefined) foreign.add(zones.of(rails.positive));
  }
  const own = circuit.supplies.get(supply);
  if (own !== undefined) foreign.delete(zones.of(own.positive));
  return spots.filter(({ piece, pixel }) => {
    const joint = circuit.joints.get(piece)?.get(pixel);
    return joint !== undefined && joint.positive >= 0 && !foreign.has(zones.of(joint.positive));
  });
}
