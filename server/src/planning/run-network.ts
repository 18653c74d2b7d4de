import { sure } from '#grammar/sure.ts';
import type { Run, Supply } from '../model/plan.ts';
import type { IslandCircuit } from '../model/to-circuit.ts';
import { Zones } from '../model/zones.ts';
import { leastAmps, leastVolts } from './least-draw.ts';
import { type Edge, Rail } from './rail.ts';
import { taps } from './reach.ts';

/** What of a circuit belongs to one run: its strings, gaps, lead and the feeds that join it. */
export class RunNetwork {
  readonly stretches: NetworkStretch[] = [];
  private readonly resistors: { a: number; b: number; ohms: number }[] = [];
  /** Nodes that something else uses as well, held at the supply. */
  private readonly held = new Set<number>();

  constructor(base: IslandCircuit, run: Run, volts: number, foreign: ReadonlySet<number>) {
    for (const [index, role] of base.stretches.entries()) {
      const stretch = sure(base.circuit.stretches[index]);
      if (role.run !== run) {
        this.hold(stretch.positiveStart, stretch.positiveEnd, stretch.negativeStart, stretch.negativeEnd);
        continue;
      }
      this.stretches.push({
        ...stretch,
        ohms: stretch.positiveOhms + stretch.negativeOhms,
        railOhms: [stretch.positiveOhms, stretch.negativeOhms],
        amps: foreign.has(index) ? 0 : leastAmps(stretch.model, stretch.scale, leastVolts(role.piece), volts),
        least: foreign.has(index) ? 0 : leastVolts(role.piece),
        before: role.first - 1,
      });
    }
    for (const [index, role] of base.resistors.entries()) {
      const resistor = sure(base.circuit.resistors[index]);
      if (('run' in role && role.run === run) || ('feed' in role && taps(role.feed, run)))
        this.resistors.push(resistor);
      else this.hold(resistor.a, resistor.b);
    }
    for (const { positive, negative } of [...base.circuit.sources, ...base.circuit.loads])
      this.hold(positive, negative);
  }

  private hold(...nodes: readonly number[]): void {
    for (const node of nodes) this.held.add(node);
  }

  rail(side: 'positive' | 'negative'): Rail {
    const [start, end, own] =
      side === 'positive'
        ? (['positiveStart', 'positiveEnd', 0] as const)
        : (['negativeStart', 'negativeEnd', 1] as const);
    const edges = [
      ...this.stretches.map((stretch) => ({
        a: stretch[start],
        b: stretch[end],
        ohms: stretch.count * (stretch.railOhms[own] as number),
        // Constant currents along a row of resistors, seen from its ends.
        aAmps: (stretch.amps * (stretch.count - 1)) / 2,
        bAmps: (stretch.amps * (stretch.count + 1)) / 2,
      })),
      ...this.resistors.map((resistor) => ({ ...resistor, aAmps: 0, bAmps: 0 })),
    ];
    // Resistors of both rails are in the list: only those that the strings of this rail reach belong to it.
    return new Rail(
      reached(edges, new Set(this.stretches.flatMap((stretch) => [stretch[start], stretch[end]])), this.held),
      this.held,
    );
  }
}

export interface NetworkStretch {
  readonly positiveStart: number;
  readonly positiveEnd: number;
  readonly negativeStart: number;
  readonly negativeEnd: number;
  readonly count: number;
  /** Ohms of one pitch, both rails. */
  readonly ohms: number;
  readonly railOhms: readonly [number, number];
  readonly amps: number;
  readonly least: number;
  readonly before: number;
}

/** Stretches of a run on the V+ of another supply than the one that is to feed it, by number. */
export function foreignStretches(base: IslandCircuit, run: Run, supply: Supply): Set<number> {
  const found = new Set<number>();
  if (base.sources.length <= 1) return found;
  const zones = Zones.in(base);
  const foreign = new Set(base.circuit.sources.map(({ positive }) => zones.of(positive)));
  foreign.delete(zones.of(sure(base.supplies.get(supply)).positive));
  for (const [index, role] of base.stretches.entries())
    if (role.run === run && foreign.has(zones.of(sure(base.circuit.stretches[index]).positiveStart))) found.add(index);
  return found;
}

function reached(edges: readonly Edge[], from: ReadonlySet<number>, held: ReadonlySet<number>): Edge[] {
  const nodes = new Set(from);
  const left = new Set(edges);
  const found: Edge[] = [];
  for (let grew = true; grew; ) {
    grew = false;
    for (const edge of left) {
      const joins = [edge.a, edge.b].some((node) => nodes.has(node) && (!held.has(node) || from.has(node)));
      if (!joins) continue;
      nodes.add(edge.a).add(edge.b);
      found.push(edge);
      left.delete(edge);
      grew = true;
    }
  }
  return found;
}
