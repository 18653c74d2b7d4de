import type { LoadModel } from '../electrics/circuit.ts';
import { compileLoadCurve, curveAmps } from '../electrics/solve/load-curve.ts';
import { conductorOhms } from '../model/conductors.ts';
import type { Conditions } from '../model/corners.ts';
import { isNull } from '../model/null-pixels.ts';
import type { Run, StringPiece } from '../model/plan.ts';
import { type IslandCircuit, SPLICE_OHMS } from '../model/to-circuit.ts';
import { type Choice, cableLengths } from './choice.ts';
import { inverse, solveSmall } from './dense.ts';
import type { Spot } from './spots.ts';

/**
 * A quick network that is never worse than the real one: feeds that leave it wanting leave the run wanting.
 *
 * Why it is never worse. In any answer that holds, every pixel sees at least its least voltage, so it draws at least
 * what it draws there (a converter: at least what it draws at the supply's voltage). Put these least currents, constant
 * as they are, in the place of the pixels, and take away all other loads. Now V+ and ground are two linear networks that
 * have nothing to do with each other: resistors to the supply, currents drawn. The inverse of such a network's matrix
 * (an M-matrix) has no negative element, so less current means no lower V+ and no higher ground anywhere. The supply's
 * own droop and whatever lies between it and the first node that others use as well are left out: a node that is held
 * at the supply is never lower. So V+ minus ground at each pixel is at least what the real network gives.
 *
 * Feeds of their own are resistors to the supply; one more only raises V+ everywhere. So what is wanting with some of
 * them is wanting with fewer. A trunk's taps share its wire, and one more tap may take from the others: there that
 * holds only where the trunk is thought of as having no resistance, as `wantingWithin` does.
 *
 * It holds for one supply. Where several are joined through their grounds, the ground of one may lie below that of the
 * other; `slack` allows for it, and nothing is said to be proven.
 */
export class Bound {
  private readonly positive: Rail;
  private readonly negative: Rail;
  private readonly stretches: readonly BoundStretch[];
  private readonly joints: ReadonlyMap<Spot, { readonly positive: number; readonly negative: number }>;
  readonly volts: number;
  private readonly celsius: number;
  readonly slack: number;

  constructor(
    base: IslandCircuit,
    run: Run,
    spots: readonly Spot[],
    conditions: Conditions,
    supplyVolts: number,
    slack: number,
  ) {
    this.volts = supplyVolts * conditions.supplies;
    this.celsius = conditions.celsius;
    this.slack = slack;
    const network = new RunNetwork(base, run, this.volts);
    this.positive = network.rail('positive');
    this.negative = network.rail('negative');
    this.stretches = network.stretches.map((stretch) => ({
      ...stretch,
      pStart: this.positive.indexOf(stretch.positiveStart),
      pEnd: this.positive.indexOf(stretch.positiveEnd),
      nStart: this.negative.indexOf(stretch.negativeStart),
      nEnd: this.negative.indexOf(stretch.negativeEnd),
    }));
    this.joints = new Map(
      spots.map((spot) => {
        const rails = base.joints.get(spot.piece)?.get(spot.pixel);
        return [
          spot,
          {
            positive: this.positive.indexOf(rails?.positive ?? -1),
            negative: this.negative.indexOf(rails?.negative ?? -1),
          },
        ];
      }),
    );
  }

  /** The stretch that is wanting most with just these feeds, if any is: the number of pixels before it. */
  wanting(choice: Choice, spots: readonly Spot[]): number | undefined {
    return this.worst(spots, this.branches(choice, spots));
  }

  /** The same with the feeds as no set of them within these spots could do better. */
  wantingWithin(choice: Choice, spots: readonly Spot[]): number | undefined {
    return this.worst(spots, choice.trunk ? diagonal(spots, () => SPLICE_OHMS) : this.branches(choice, spots));
  }

  /** The same with feeds that have no resistance but their splice: no choice of supply and cable could do better. */
  wantingIdeal(spots: readonly Spot[]): number | undefined {
    return this.worst(
      spots,
      diagonal(spots, () => SPLICE_OHMS),
    );
  }

  /** Ohms that the feeds have in common, for each pair of taps; on the diagonal the ohms of each. */
  private branches(choice: Choice, spots: readonly Spot[]): Float64Array[] {
    const ohms = cableLengths(choice, spots).map((length) =>
      conductorOhms(choice.cable.conductor, length, this.celsius, choice.parallel),
    );
    if (!choice.trunk) return diagonal(spots, (index) => (ohms[index] ?? 0) + SPLICE_OHMS);
    let sum = 0;
    const upTo = ohms.map((each) => (sum += each));
    return spots.map((_, row) =>
      Float64Array.from(spots, (_, column) => (upTo[Math.min(row, column)] ?? 0) + (row === column ? SPLICE_OHMS : 0)),
    );
  }

  private worst(spots: readonly Spot[], branches: readonly Float64Array[]): number | undefined {
    const joints = spots.map((spot) => this.joints.get(spot));
    const positive = this.positive.dropsWith(
      joints.map((joint) => joint?.positive ?? -1),
      branches,
    );
    const negative = this.negative.dropsWith(
      joints.map((joint) => joint?.negative ?? -1),
      branches,
    );
    let most = 1e-6;
    let found: number | undefined;
    for (const stretch of this.stretches) {
      const start = this.volts - at(positive, stretch.pStart) - at(negative, stretch.nStart);
      const end = this.volts - at(positive, stretch.pEnd) - at(negative, stretch.nEnd);
      const short = stretch.least - this.slack - leastOf(stretch, start, end);
      if (short > most) {
        most = short;
        found = stretch.before + stretch.count / 2;
      }
    }
    return found;
  }
}

interface BoundStretch extends NetworkStretch {
  readonly pStart: number;
  readonly pEnd: number;
  readonly nStart: number;
  readonly nEnd: number;
}

function at(drops: Float64Array, index: number): number {
  return index < 0 ? 0 : (drops[index] as number);
}

/** u[k] = start + (end - start) k / N - i R k (N - k) / 2, convex in k: its least value lies beside its foot. */
function leastOf({ count, amps, ohms }: NetworkStretch, start: number, end: number): number {
  const bend = amps * ohms;
  const u = (k: number) => start + ((end - start) * k) / count - (bend * k * (count - k)) / 2;
  if (bend <= 0) return Math.min(u(1), end);
  const foot = Math.min(count, Math.max(1, count / 2 - (end - start) / (count * bend)));
  return Math.min(u(Math.floor(foot)), u(Math.ceil(foot)));
}

function diagonal(spots: readonly Spot[], ohms: (index: number) => number): Float64Array[] {
  return spots.map((_, row) => {
    const line = new Float64Array(spots.length);
    line[row] = ohms(row);
    return line;
  });
}

/** V that each pixel of a string must see; undefined where nothing is asked of it. A null pixel never lights. */
export function leastVolts(piece: StringPiece): number | undefined {
  return isNull(piece.line) ? undefined : piece.part.least?.value;
}

/**
 * What a pixel draws at least, A, while it sees no less than its least voltage and no more than some other: what rises
 * with the voltage is taken at the least one, what falls (converters) at the other.
 */
export function leastAmps(model: LoadModel, scale: number, least: number | undefined, most: number): number {
  if (least === undefined) return 0;
  const isConverter = ({ kind }: LoadModel['channels'][number]) => kind === 'converter';
  const falling = model.channels.filter(isConverter);
  const rising = { ...model, channels: model.channels.filter((channel) => !isConverter(channel)) };
  const held =
    falling.length === 0
      ? 0
      : curveAmps(compileLoadCurve({ ...model, quiescentAmps: 0, channels: falling }, scale), Math.max(most, least));
  return Math.max(0, curveAmps(compileLoadCurve(rising, scale), least) + held);
}

interface NetworkStretch {
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

/** Siemens to the supply where a rail has no other way to it, so that its matrix can be inverted. */
const LEAK = 1e-3;

/** What of a circuit belongs to one run: its strings, gaps, lead and the feeds that join it. */
class RunNetwork {
  readonly stretches: NetworkStretch[] = [];
  private readonly resistors: { a: number; b: number; ohms: number }[] = [];
  /** Nodes that something else uses as well, held at the supply. */
  private readonly held = new Set<number>();

  constructor(base: IslandCircuit, run: Run, volts: number) {
    for (const [index, role] of base.stretches.entries()) {
      const stretch = base.circuit.stretches[index];
      if (stretch === undefined) continue;
      if (role.run !== run) {
        this.hold(stretch.positiveStart, stretch.positiveEnd, stretch.negativeStart, stretch.negativeEnd);
        continue;
      }
      this.stretches.push({
        ...stretch,
        ohms: stretch.positiveOhms + stretch.negativeOhms,
        railOhms: [stretch.positiveOhms, stretch.negativeOhms],
        amps: leastAmps(stretch.model, stretch.scale, leastVolts(role.piece), volts),
        least: leastVolts(role.piece) ?? 0,
        before: role.first - 1,
      });
    }
    const feeds = new Set(run === undefined ? [] : tapsOf(base, run));
    for (const [index, role] of base.resistors.entries()) {
      const resistor = base.circuit.resistors[index];
      if (resistor === undefined) continue;
      if (('run' in role && role.run === run) || ('feed' in role && feeds.has(role.feed)))
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

/** Feeds that are tapped into a run. */
function* tapsOf(base: IslandCircuit, run: Run) {
  for (const role of base.resistors) {
    if (!('feed' in role)) continue;
    if (role.feed.pieces.some((piece) => piece.kind === 'tap' && piece.tap.run === run)) yield role.feed;
  }
}

interface Edge {
  readonly a: number;
  readonly b: number;
  readonly ohms: number;
  readonly aAmps: number;
  readonly bAmps: number;
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

/** One rail: volts lost between the supply and each node, and how they change with a current fed in. */
class Rail {
  private readonly index = new Map<number, number>();
  private readonly transfer: readonly Float64Array[];
  private readonly drops: Float64Array;

  constructor(edges: readonly Edge[], held: ReadonlySet<number>) {
    for (const { a, b } of edges)
      for (const node of [a, b]) if (!held.has(node) && !this.index.has(node)) this.index.set(node, this.index.size);
    const size = this.index.size;
    const matrix = Array.from({ length: size }, () => new Float64Array(size));
    const drawn = new Float64Array(size);
    const add = (row: number, column: number, siemens: number) => {
      const line = matrix[row];
      if (line !== undefined && column >= 0) line[column] = (line[column] as number) + siemens;
    };
    for (let node = 0; node < size; node++) add(node, node, LEAK);
    for (const { a, b, ohms, aAmps, bAmps } of edges) {
      const [i, j] = [this.indexOf(a), this.indexOf(b)];
      const siemens = 1 / ohms;
      if (i >= 0) {
        add(i, i, siemens);
        add(i, j, -siemens);
        drawn[i] = (drawn[i] as number) + aAmps;
      }
      if (j >= 0) {
        add(j, j, siemens);
        add(j, i, -siemens);
        drawn[j] = (drawn[j] as number) + bAmps;
      }
    }
    this.transfer = inverse(matrix);
    this.drops = Float64Array.from(this.transfer, (row) =>
      row.reduce((sum, ohms, at) => sum + ohms * (drawn[at] as number), 0),
    );
  }

  /** -1 for a node that is held at the supply. */
  indexOf(node: number): number {
    return this.index.get(node) ?? -1;
  }

  /**
   * Volts lost at each node with feeds at some joints: with Z the transfer resistances, F those that the feeds have in
   * common and d the drops without them, the feeds carry c = (Z + F)^-1 d, and each node gains Z c.
   */
  dropsWith(joints: readonly number[], branches: readonly Float64Array[]): Float64Array {
    const drops = Float64Array.from(this.drops);
    if (joints.length === 0) return drops;
    const matrix = joints.map((i, row) =>
      Float64Array.from(joints, (j, column) => this.ohms(i, j) + ((branches[row] as Float64Array)[column] as number)),
    );
    const fed = solveSmall(
      matrix,
      Float64Array.from(joints, (i) => (i < 0 ? 0 : (this.drops[i] as number))),
    );
    for (const [index, joint] of joints.entries()) {
      const row = this.transfer[joint];
      if (row === undefined) continue;
      const amps = fed[index] as number;
      for (let node = 0; node < drops.length; node++)
        drops[node] = (drops[node] as number) - (row[node] as number) * amps;
    }
    return drops;
  }

  private ohms(i: number, j: number): number {
    const row = this.transfer[i];
    return row === undefined || j < 0 ? 0 : (row[j] as number);
  }
}
