import { sure } from '#grammar/sure.ts';
import type { Piece, Run, StringPiece } from '../model/plan.ts';

/** Where things lie along a run that is drawn as one line, with strings and gaps to scale by their length. */
export interface LaneScale {
  readonly left: number;
  readonly right: number;
  /** Start and end of each string and gap. */
  readonly spans: ReadonlyMap<Piece, readonly [number, number]>;
  /** The joint behind pixel n of a string; with n = 0 the one before its first. */
  readonly joint: (piece: StringPiece, pixel: number) => number;
}

export function laneScale(run: Run, left: number, right: number): LaneScale {
  const lengthOf = (piece: Piece) =>
    piece.kind === 'string' ? piece.count * piece.pitch : piece.kind === 'gap' ? piece.length : 0;
  const total = run.pieces.reduce((sum, piece) => sum + lengthOf(piece), 0);
  const factor = total > 0 ? (right - left) / total : 0;
  const spans = new Map<Piece, readonly [number, number]>();
  let at = left;
  for (const piece of run.pieces) {
    const end = at + lengthOf(piece) * factor;
    spans.set(piece, [at, end]);
    at = end;
  }
  return {
    left,
    right,
    spans,
    joint: (piece, pixel) => {
      const [start, end] = sure(spans.get(piece));
      return start + ((end - start) * pixel) / Math.max(1, piece.count);
    },
  };
}
