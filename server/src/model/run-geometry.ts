import { sure } from '#grammar/sure.ts';
import type { Run, StringLine, StringPiece } from './plan.ts';

/**
 * Where a joint of a run lies for a cable that is laid to it. A cable need not follow the data: strands hang side by
 * side, so it crosses from one to the next at their ends, and it goes round a ring the shorter way.
 */
export interface RunPoint {
  readonly shape: Shape;
  /** Number of the strand, from 0. */
  readonly strand: number;
  /** m from the side of the shape where its first strand starts. */
  readonly down: number;
}

/** One line of pixels as it hangs. */
interface Shape {
  readonly line: StringLine;
  /** m of cable from the start of the run to its first joint. */
  readonly before: number;
}

/** The joints of a run as points, by piece and pixel; pixel 0 is the joint before the first. */
export class RunGeometry {
  private readonly shapes = new Map<StringPiece, Shape>();

  constructor(run: Run) {
    let before = 0;
    let shape: Shape | undefined;
    for (const piece of run.pieces) {
      // What lies between the strands of one line belongs to its shape.
      if (piece.kind === 'gap' && !piece.bare) before += piece.length;
      if (piece.kind !== 'string') continue;
      if (shape === undefined || piece.strand === 1) {
        shape = { line: piece.line, before };
        before += within(startOf(shape), endOf(shape));
      }
      this.shapes.set(piece, shape);
    }
  }

  pointAt(piece: StringPiece, pixel: number): RunPoint {
    return pointOf(sure(this.shapes.get(piece)), piece.strand - 1, pixel);
  }
}

/** m of cable from the start of a run. */
export function wayFromStart(point: RunPoint): number {
  return point.shape.before + within(startOf(point.shape), point);
}

/** m of cable between two points of the same geometry. */
export function wayBetween(a: RunPoint, b: RunPoint): number {
  if (a.shape === b.shape) return within(a, b);
  const [first, second] = a.shape.before <= b.shape.before ? [a, b] : [b, a];
  const { shape } = first;
  const exit = shape.before + within(startOf(shape), endOf(shape));
  return within(first, endOf(shape)) + (second.shape.before - exit) + within(startOf(second.shape), second);
}

function startOf(shape: Shape): RunPoint {
  return pointOf(shape, 0, 0);
}

function endOf(shape: Shape): RunPoint {
  return pointOf(shape, shape.line.strands - 1, shape.line.perStrand);
}

function pointOf(shape: Shape, strand: number, pixel: number): RunPoint {
  const { line } = shape;
  // Wired back and forth, every other strand runs backwards.
  const isBackward = strand % 2 === 1 && !leadsBack(line);
  return { shape, strand, down: (isBackward ? line.perStrand - pixel : pixel) * line.pitch };
}

/** All strands run the same way, and wire leads back from the end of one to the start of the next. */
function leadsBack({ spacing, across }: StringLine): boolean {
  return spacing > across;
}

function within(a: RunPoint, b: RunPoint): number {
  const { line } = a.shape;
  const length = line.perStrand * line.pitch;
  const apart = Math.abs(a.down - b.down);
  if (a.strand === b.strand) return line.keyword === 'ring' ? Math.min(apart, length - apart) : apart;
  const ends = Math.min(a.down + b.down, 2 * length - a.down - b.down);
  return Math.abs(a.strand - b.strand) * line.across + ends;
}
