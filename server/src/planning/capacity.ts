import { sure } from '#grammar/sure.ts';
import type { Plan, Run } from '../model/plan.ts';
import type { IslandCircuit } from '../model/to-circuit.ts';
import type { Choice } from './choice.ts';
import { leastAmps, leastVolts } from './least-draw.ts';
import { fuseRange } from './outputs.ts';
import type { Spot } from './spots.ts';

/**
 * What the pixels of a run draw at least, against what can reach them at most: through a string's own wire no more than
 * its rating from either side, through the port no more than its fuse should carry, through a feed no more than its
 * largest fuse should. Where that does not add up, no answer holds, and taking feeds away does not help.
 */
export class Capacity {
  private readonly run: Run;
  /** A drawn at least by the first n pixels. */
  private readonly upTo: Float64Array;
  /** A that a string passes on at most. */
  private readonly string: number;
  private readonly port: number;
  /** Pixels before each place that is fed already. */
  private readonly fed: readonly number[];
  private readonly cuts: readonly number[];
  private readonly share: number;
  /** What comes in without any new feed, in the order of the data; the last is the end of the run. */
  private readonly places: readonly { readonly at: number; readonly amps: number }[];

  constructor(plan: Plan, run: Run, base: IslandCircuit, volts: number) {
    this.run = run;
    this.share = plan.design.fuseShare.value;
    this.upTo = drawnUpTo(base, run, volts);
    const strings = run.pieces.flatMap((piece) => (piece.kind === 'string' ? [piece] : []));
    this.string = Math.max(...strings.map(({ part }) => part.rated?.value ?? Number.POSITIVE_INFINITY), 0);
    this.port = portAmps(run, this.share);
    this.fed = [...plan.feeds.values()].flatMap((feed) =>
      feed.pieces.flatMap((piece) =>
        piece.kind === 'tap' && piece.tap.run === run ? [piece.tap.piece.first - 1 + piece.tap.pixel] : [],
      ),
    );
    this.cuts = cutsOf(run);
    this.places = [
      { at: 0, amps: Math.min(this.port, this.string) },
      ...this.fed.map((at) => ({ at, amps: this.string })),
      ...[...this.cuts, run.pixelCount].map((at) => ({ at, amps: 0 })),
    ].sort((a, b) => a.at - b.at);
  }

  /**
   * Pixels before the middle of what cannot be fed in full, if there is such a part. The spots come in the order of the
   * data. At one place all that comes in there counts for both sides: which side of a cut a feed joins is left open.
   */
  wanting(spots: readonly Spot[]): number | undefined {
    let [from, fromAmps] = [0, 0];
    let next = 0;
    for (let known = 0; known < this.places.length; ) {
      const to = Math.min(sure(this.places[known]).at, spots[next]?.before ?? Number.POSITIVE_INFINITY);
      let toAmps = 0;
      for (let place = this.places[known]; place?.at === to; place = this.places[++known]) toAmps += place.amps;
      for (; spots[next]?.before === to; next++) toAmps += this.string;
      const drawn = (this.upTo[to] as number) - (this.upTo[from] as number);
      if (drawn > (fromAmps + toAmps) * (1 + 1e-9) + 1e-9) return (from + to) / 2;
      [from, fromAmps] = [to, toAmps];
    }
    return undefined;
  }

  /** Whether that many feeds can carry the run at all. */
  isEnough(choice: Choice, count: number): boolean {
    if (this.fed.length > 0 || this.cuts.length > 0) return true;
    const most = sure(fuseRange(choice.cable, choice.parallel)).most * this.share;
    const drawn = this.upTo[this.run.pixelCount] as number;
    return drawn <= this.port + most * (choice.trunk ? 1 : count) * (1 + 1e-9) + 1e-9;
  }
}

function drawnUpTo({ circuit, stretches }: IslandCircuit, run: Run, volts: number): Float64Array {
  const upTo = new Float64Array(run.pixelCount + 1);
  for (const [index, { run: owner, piece, first }] of stretches.entries()) {
    if (owner !== run) continue;
    const stretch = sure(circuit.stretches[index]);
    const each = leastAmps(stretch.model, stretch.scale, leastVolts(piece), volts);
    for (let pixel = first; pixel < first + stretch.count; pixel++) upTo[pixel] = each;
  }
  for (let pixel = 1; pixel <= run.pixelCount; pixel++)
    upTo[pixel] = (upTo[pixel] as number) + (upTo[pixel - 1] as number);
  return upTo;
}

/** What the port passes on at most, A; 0 where it passes no V+. */
function portAmps(run: Run, share: number): number {
  const fuse = run.controller?.from === undefined ? undefined : run.controller.part?.portFuse;
  const leads = run.pieces.flatMap((piece) => (piece.kind === 'lead' ? [piece.cable] : []));
  if (fuse === undefined || leads.some((cable) => !cable.cores.has('V+'))) return 0;
  return Math.min(fuse * share, ...leads.map((cable) => cable.rated?.value ?? Number.POSITIVE_INFINITY));
}

function cutsOf(run: Run): number[] {
  const cuts: number[] = [];
  let before = 0;
  for (const piece of run.pieces) {
    if (piece.kind === 'string') before += piece.count;
    if (piece.kind === 'cut') cuts.push(before);
  }
  return cuts;
}
