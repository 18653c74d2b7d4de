import { sure } from '#grammar/sure.ts';
import { cableStep, roundedUp } from '../model/cut-lengths.ts';
import type { Board, Plan, Run, Supply } from '../model/plan.ts';
import { wayBetween } from '../model/run-geometry.ts';
import { shortestWay, type Way } from '../model/shortest-way.ts';
import type { IslandCircuit } from '../model/to-circuit.ts';
import { Zones } from '../model/zones.ts';
import { fuseRange, mostOutputs } from './outputs.ts';
import { supplyOf, type WiredCable } from './reach.ts';
import type { Spot } from './spots.ts';

/** One way to bring power to a run: which supply or board, which cable, how many in parallel, as feeds of their own or as one trunk. */
export interface Choice {
  readonly supply: Supply;
  /** The supply, or a fused board that hangs on it: what the feeds start at. */
  readonly owner: Supply | Board;
  /** Most feeds that can start there. */
  readonly outputs: number;
  readonly cable: WiredCable;
  readonly parallel: number;
  /** What a metre of it adds to the cost (see Cost). */
  readonly ofMetre: number;
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
  /** m3 of copper in one rail; money where all cables at hand have a price in one currency. */
  readonly material: number;
}

/** What it costs to leave all as it is. */
export const NO_COST: Cost = { limited: 0, taps: 0, material: 0 };

/** The least of some costs; undefined where there are none. */
export function leastOfCosts(costs: readonly Cost[]): Cost | undefined {
  return costs.reduce<Cost | undefined>((a, b) => (a === undefined || compareCosts(b, a) < 0 ? b : a), undefined);
}

export function compareCosts(a: Cost, b: Cost): number {
  const more = a.material - b.material;
  return a.limited - b.limited || a.taps - b.taps || (Math.abs(more) <= 1e-9 * a.material ? 0 : more);
}

export function costOf(choice: Choice, spots: readonly Spot[]): Cost {
  return costOfLengths(choice, cableLengths(choice, spots));
}

/** The least that so many taps among some spots can cost, whichever they are. */
export function leastCostOf(choice: Choice, spots: readonly Spot[], count: number): Cost {
  const ways = spots.map(({ way }) => choice.reach + way).sort((a, b) => a - b);
  const nearest = ways.slice(0, count).map((way) => roundedUp(way, choice.step));
  if (!choice.trunk) return costOfLengths(choice, nearest);
  // A trunk is nowhere shorter than the way to its farthest tap, and each of its cables has a step at least.
  const [first = 0] = nearest;
  const whole = Math.max(sure(ways[count - 1]), first + (count - 1) * choice.step);
  return costOfLengths(choice, [whole, ...nearest.slice(1).map(() => 0)]);
}

/** How many cables can start at its outputs and pass its limited routes. */
export function mostCables({ outputs, limited, room, parallel }: Choice): number {
  return Math.min(outputs, limited > 0 ? Math.floor(room / parallel) : Number.POSITIVE_INFINITY);
}

function costOfLengths({ limited, parallel, trunk, ofMetre }: Choice, lengths: readonly number[]): Cost {
  const metres = lengths.reduce((sum, length) => sum + length, 0);
  return {
    limited: limited * parallel * (trunk ? 1 : lengths.length),
    taps: lengths.length,
    material: metres * parallel * ofMetre,
  };
}

/** m of cable to each tap, in the order along the run: from the supply, or on a trunk from the tap before. */
export function cableLengths({ reach, step, trunk }: Choice, spots: readonly Spot[]): number[] {
  return spots.map(({ point, way }, index) => {
    const before = spots[index - 1];
    return roundedUp(trunk && before !== undefined ? wayBetween(before.point, point) : reach + way, step);
  });
}

/** Every choice for a run and a supply or board, thin cables first. `passing` says how many cables a route has already. */
export function choicesFor(
  plan: Plan,
  run: Run,
  owner: Supply | Board,
  cables: readonly WiredCable[],
  passing: (route: Way['routes'][number]) => number,
): Choice[] {
  const way =
    owner.place === undefined || run.place === undefined ? undefined : shortestWay(plan.routes, owner.place, run.place);
  const limits = way?.routes.flatMap((route) => (route.most === undefined ? [] : [route.most - passing(route)])) ?? [];
  const lead = run.pieces.find((piece) => piece.kind === 'lead');
  const base = {
    supply: supplyOf(owner),
    owner,
    outputs: mostOutputs(plan, owner),
    way: way === undefined || way.routes.length === 0 ? undefined : way,
    limited: limits.length,
    room: Math.min(...limits, Number.POSITIVE_INFINITY),
    reach: (way?.length ?? lead?.length ?? 1) + 2 * plan.design.slack.value,
    step: cableStep(plan.design),
  };
  const isPriced = currencyOf(cables) !== undefined;
  return cables.flatMap((cable) =>
    [1, 2].flatMap((parallel) => {
      if (fuseRange(cable, parallel) === undefined) return [];
      const ofMetre = isPriced ? metrePrice(cable) : cable.conductor.area * 1e-6;
      return [false, true].map((trunk) => ({ ...base, cable, parallel, ofMetre, trunk }));
    }),
  );
}

export type Strength = Pick<Choice, 'cable' | 'parallel' | 'reach'>;

/** Of what is known and one more choice together what resists least: the thickest cable, the shortest way. */
export function strongestOf(known: Strength | undefined, { cable, parallel, reach }: Choice): Strength {
  if (known === undefined) return { cable, parallel, reach };
  const ohms = (of: Pick<Choice, 'cable' | 'parallel'>) => of.cable.conductor.ohmsPerMetre / of.parallel;
  const thicker = ohms(known) <= ohms({ cable, parallel }) ? known : { cable, parallel };
  return { cable: thicker.cable, parallel: thicker.parallel, reach: Math.min(known.reach, reach) };
}

/** The currency that all of some cables are priced in; undefined where one has no price, or one in another currency. */
export function currencyOf(cables: readonly WiredCable[]): string | undefined {
  const currencies = new Set(cables.map(({ price }) => price?.currency));
  return currencies.size === 1 ? [...currencies][0] : undefined;
}

/** Of a drum the share that is used: what is left of it serves another cable. The cable has a price. */
function metrePrice({ price }: WiredCable): number {
  const { amount, pack } = sure(price);
  return amount / (pack ?? 1);
}

/** Places where a feed of a supply meets no other supply that it has not met already. */
export function spotsOfSupply(circuit: IslandCircuit, supply: Supply, spots: readonly Spot[]): Spot[] {
  const zones = Zones.in(circuit);
  const foreign = new Set(circuit.circuit.sources.map(({ positive }) => zones.of(positive)));
  foreign.delete(zones.of(sure(circuit.supplies.get(supply)).positive));
  return spots.filter(({ piece, pixel }) => {
    const joint = circuit.joints.get(piece)?.get(pixel);
    return joint !== undefined && joint.positive >= 0 && !foreign.has(zones.of(joint.positive));
  });
}
