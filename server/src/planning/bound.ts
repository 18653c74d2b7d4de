import { sure } from '#grammar/sure.ts';
import { conductorOhms } from '../model/conductors.ts';
import type { Conditions } from '../model/corners.ts';
import type { Run, Supply } from '../model/plan.ts';
import { type IslandCircuit, SPLICE_OHMS } from '../model/to-circuit.ts';
import { type Choice, cableLengths } from './choice.ts';
import type { Rail } from './rail.ts';
import { foreignStretches, type NetworkStretch, RunNetwork } from './run-network.ts';
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
 * Where other supplies share grounds, these may lie lower by what `slack` allows (see groundSlack); the rest is linear as
 * before. Of what hangs on another supply's V+ nothing is asked, and nothing of what it draws is counted here.
 */
export class Bound {
  private readonly positive: Rail;
  private readonly negative: Rail;
  private readonly stretches: readonly BoundStretch[];
  private readonly joints: ReadonlyMap<Spot, { readonly positive: number; readonly negative: number }>;
  readonly volts: number;
  /** Bounds with equal marks ask the same of the run, whichever supply they are for. */
  readonly mark: string;
  private readonly celsius: number;
  /** Where the matrix of the feeds is written, one look after the other. */
  private room = new Float64Array(0);
  readonly slack: number;

  constructor(
    base: IslandCircuit,
    run: Run,
    supply: Supply,
    spots: readonly Spot[],
    conditions: Conditions,
    supplyVolts: number,
    slack: number,
  ) {
    this.volts = supplyVolts * conditions.supplies;
    this.celsius = conditions.celsius;
    this.slack = slack;
    const foreign = foreignStretches(base, run, supply);
    this.mark = [this.volts, slack, ...foreign].join(' ');
    const network = new RunNetwork(base, run, this.volts + slack, foreign);
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
        const rails = sure(base.joints.get(spot.piece)?.get(spot.pixel));
        return [
          spot,
          {
            positive: this.positive.indexOf(rails.positive),
            negative: this.negative.indexOf(rails.negative),
          },
        ];
      }),
    );
  }

  /** The stretch that is wanting most with just these feeds, if any is: the number of pixels before it. */
  wanting(choice: Choice, spots: readonly Spot[]): number | undefined {
    return this.worst(spots, this.branches(choice, spots));
  }

  /** The same without any feeds but those that the plan has. */
  wantingNow(): number | undefined {
    return this.worst([], new Float64Array(0));
  }

  /** The same with the feeds as no set of them within these spots could do better. */
  wantingWithin(choice: Choice, spots: readonly Spot[]): number | undefined {
    return this.worst(
      spots,
      choice.trunk ? this.diagonal(spots.length, () => SPLICE_OHMS) : this.branches(choice, spots),
    );
  }

  /** Ohms that the feeds have in common, for each pair of taps, row by row; on the diagonal the ohms of each. */
  private branches(choice: Choice, spots: readonly Spot[]): Float64Array {
    const ohms = cableLengths(choice, spots).map((length) =>
      conductorOhms(choice.cable.conductor, length, this.celsius, choice.parallel),
    );
    if (!choice.trunk) return this.diagonal(spots.length, (index) => sure(ohms[index]) + SPLICE_OHMS);
    const size = spots.length;
    const matrix = this.diagonal(size, () => SPLICE_OHMS);
    let upTo = 0;
    for (let at = 0; at < size; at++) {
      // What leads to a tap leads to all behind it.
      upTo += sure(ohms[at]);
      for (let other = at; other < size; other++) {
        matrix[at * size + other] = (matrix[at * size + other] as number) + upTo;
        if (other > at) matrix[other * size + at] = (matrix[other * size + at] as number) + upTo;
      }
    }
    return matrix;
  }

  private diagonal(size: number, ohms: (index: number) => number): Float64Array {
    if (this.room.length < size * size) this.room = new Float64Array(size * size);
    const matrix = this.room.fill(0, 0, size * size);
    for (let at = 0; at < size; at++) matrix[at * size + at] = ohms(at);
    return matrix;
  }

  private worst(spots: readonly Spot[], branches: Float64Array): number | undefined {
    const joints = spots.map((spot) => sure(this.joints.get(spot)));
    const positive = this.positive.dropsWith(
      joints.map(({ positive }) => positive),
      branches,
    );
    const negative = this.negative.dropsWith(
      joints.map(({ negative }) => negative),
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
