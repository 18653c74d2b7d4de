import { panelsOf, refreshOf } from './fixtures.ts';
import type { Run, StringPiece } from './plan.ts';

/**
 * Seconds that one frame of a run takes on its data wire: what comes before the first pixel, each pixel's own bits, its
 * share of the end of the frame, and the pause; of panels, to show one picture. Dark pixels take their time like any other.
 */
export function frameTime(run: Run): number {
  const refresh = refreshOf(panelsOf(run).map((piece) => piece.part.panel));
  if (refresh !== undefined) return refresh.seconds;
  let time = 0;
  let start = 0;
  let reset = 0;
  for (const { part, count } of strings(run)) {
    const { data } = part;
    time += (count * data.bits + Math.ceil(count * data.end - 1e-9)) / data.rate;
    start = Math.max(start, data.start / data.rate);
    reset = Math.max(reset, data.reset);
  }
  return start + time + reset;
}

/** Of every part on the run its first string. */
export function firstOfParts(run: Run): StringPiece[] {
  const found = new Map<StringPiece['part'], StringPiece>();
  for (const piece of strings(run)) if (!found.has(piece.part)) found.set(piece.part, piece);
  return [...found.values()];
}

function* strings(run: Run): Iterable<StringPiece> {
  for (const piece of run.pieces) if (piece.kind === 'string') yield piece;
}
