import { sure } from '#grammar/sure.ts';
import { type RunAccount, solutionOf } from './account.ts';
import type { Run, StringPiece } from './plan.ts';
import type { IslandCircuit } from './to-circuit.ts';
import { Zones } from './zones.ts';

/**
 * What is left of the data signal where it passes from a port or a pixel to the next pixel, by the voltages of the
 * solution. A pixel reads a one above a share of its logic voltage and a zero below the rest of it, both measured from its
 * own ground; the sender swings between its own ground and its drive voltage. So a ground that stands higher at the pixel
 * than at the sender takes from the one, a lower one from the zero.
 */
export interface DataMargin {
  readonly piece: StringPiece;
  /** Number along the run of the pixel that reads. */
  readonly pixel: number;
  /** Number of the pixel that sends, 0 for the port. */
  readonly sender: number;
  /** V of a one at the sender. */
  readonly drive: number;
  /** V that the ground of the pixel stands above that of the sender. */
  readonly shift: number;
  /** V above which the pixel reads a one. */
  readonly threshold: number;
  /** V between the signal and the threshold: the lesser of one and zero; below zero the data is not read. */
  readonly margin: number;
}

/** The margins at the first pixel of a run and behind every gap, where the voltages are known and the grounds are joined. */
export function dataMargins(account: RunAccount): DataMargin[] {
  const ends = endsOf(account);
  const { zones } = linksOf(account.solved.circuit);
  const board = boardOf(account);
  const margins: DataMargin[] = [];
  let sender: Sender | undefined =
    board === undefined
      ? undefined
      : { number: 0, ...board, drive: account.run.controller?.part?.drives.value ?? DRIVE };
  for (const piece of account.run.pieces) {
    if (piece.kind !== 'string') continue;
    const end = sure(ends.get(piece));
    if (sender !== undefined && isSound(piece, end.first.volts) && zones.joined(sender.node, end.first.node))
      margins.push(marginOf(piece, sender, end.first));
    sender = isSound(piece, end.last.volts)
      ? {
          number: piece.first + piece.count - 1,
          node: end.last.node,
          ground: end.last.ground,
          drive: logicVolts(piece, end.last.volts),
        }
      : undefined;
  }
  return margins.filter(({ margin }) => Number.isFinite(margin));
}

/** V that a port puts on the data wire where its part is not known. */
const DRIVE = 5;

/** Below this no logic works at all, V. */
const ALIVE = 2;

/** Does the pixel work at all? Other checks speak of pixels without power or with too much; DMX512-A is differential. */
function isSound({ part }: StringPiece, volts: number): boolean {
  return part.data.protocol !== 'dmx' && volts >= ALIVE && volts <= sure(part.accepts).value.to + 1e-9;
}

/** A regulator gives no more than it gets. */
function logicVolts({ part }: StringPiece, volts: number): number {
  return Math.min(part.logic.volts?.value ?? volts, volts);
}

/** What a circuit says of all its runs: which nodes are joined by wire, and which stretches a run has. */
interface Links {
  readonly zones: Zones;
  readonly stretches: ReadonlyMap<Run, readonly number[]>;
}

/** Found once for each circuit. */
function linksOf(circuit: IslandCircuit): Links {
  let links = kept.get(circuit);
  if (links === undefined) {
    const stretches = new Map<Run, number[]>();
    for (const [index, { run }] of circuit.stretches.entries()) {
      const list = stretches.get(run);
      if (list === undefined) stretches.set(run, [index]);
      else list.push(index);
    }
    links = { zones: new Zones(circuit), stretches };
    kept.set(circuit, links);
  }
  return links;
}

const kept = new WeakMap<IslandCircuit, Links>();

interface Sender {
  readonly number: number;
  /** The joint of its ground. */
  readonly node: number;
  readonly ground: number;
  readonly drive: number;
}

interface PixelVolts {
  /** The joint at the end of its string, on the ground side. */
  readonly node: number;
  /** V of the pixel between V+ and ground. */
  readonly volts: number;
  /** V of its ground, absolute as in the solution. */
  readonly ground: number;
}

function marginOf(piece: StringPiece, sender: Sender, { volts, ground }: PixelVolts): DataMargin {
  const supply = logicVolts(piece, volts);
  const threshold = piece.part.logic.threshold.value * supply;
  const shift = ground - sender.ground;
  const one = sender.drive - shift - threshold;
  const zero = supply - threshold + shift;
  return {
    piece,
    pixel: piece.first,
    sender: sender.number,
    drive: sender.drive,
    shift,
    threshold,
    margin: Math.min(one, zero),
  };
}

function boardOf(account: RunAccount): Pick<Sender, 'node' | 'ground'> | undefined {
  const { run, solved } = account;
  if (run.controller === undefined) return undefined;
  const { negative: node } = sure(solved.circuit.controllers.get(run.controller));
  return { node, ground: sure(solutionOf(account).nodeVolts[node]) };
}

/** The first and the last pixel of each string of a run; the first sits one pitch behind the start of its string. */
function endsOf(account: RunAccount) {
  const { circuit } = account.solved;
  const solution = solutionOf(account);
  const ends = new Map<StringPiece, { first: PixelVolts; last: PixelVolts }>();
  for (const index of linksOf(circuit).stretches.get(account.run) ?? []) {
    const role = sure(circuit.stretches[index]);
    const stretch = sure(circuit.circuit.stretches[index]);
    const summary = sure(solution.stretches[index]);
    const at = (node: number) => sure(solution.nodeVolts[node]);
    const ground = at(stretch.negativeStart) - summary.negativeStartAmps * stretch.negativeOhms;
    const positive = at(stretch.positiveStart) - summary.positiveStartAmps * stretch.positiveOhms;
    const last = {
      volts: at(stretch.positiveEnd) - at(stretch.negativeEnd),
      ground: at(stretch.negativeEnd),
      node: stretch.negativeEnd,
    };
    const first = { volts: positive - ground, ground, node: stretch.negativeStart };
    ends.set(role.piece, { first: ends.get(role.piece)?.first ?? first, last });
  }
  return ends;
}
