import { sure } from '#grammar/sure.ts';
import type { Plan, Run, StringLine, StringPiece } from '../model/plan.ts';
import { RunGeometry, type RunPoint, wayFromStart } from '../model/run-geometry.ts';

/** A place on a run where a feed could be tapped in. */
export interface Spot {
  readonly piece: StringPiece;
  /** Pixel of the piece whose joint it is; 0 is the joint before its first pixel. */
  readonly pixel: number;
  /** As a plan would name it: "eaves.gable", "eaves[116]", "eaves.end". */
  readonly text: string;
  readonly point: RunPoint;
  /** m of cable from the start of the run. */
  readonly way: number;
  /** Pixels of the run up to here. */
  readonly before: number;
}

/** More than this are thinned out evenly: a matrix of a thousand strands need not be tried at each. */
const MOST_SPOTS = 40;
/** About as many points are tried in the middle of strings, where no joint will do. */
const MIDDLE_POINTS = 24;

/**
 * Where a hand can reach: the ends of strings that meet something else and the ends of the run; with `middle` also
 * round pixel numbers inside strings, where the string has to be opened. Left out are joints that are tapped already and
 * what the plan marks as `no-tap`.
 */
export function spotsOf(plan: Plan, run: Run, middle: boolean): Spot[] {
  if (run.noTap === true) return [];
  const taken = tappedJoints(plan, run);
  const names = nameCounts(run);
  const spots = new Map<string, Spot>();
  const step = roundStep(run.pixelCount / MIDDLE_POINTS);
  const geometry = new RunGeometry(run);
  let previous: StringPiece | undefined;
  let gap = 0;
  let bare = false;
  const add = (piece: StringPiece, pixel: number, text: string) => {
    if (piece.line.noTap === true || taken.get(piece)?.has(pixel) === true || spots.has(text)) return;
    const point = geometry.pointAt(piece, pixel);
    spots.set(text, { piece, pixel, text, point, way: wayFromStart(point), before: piece.first - 1 + pixel });
  };
  for (const piece of run.pieces) {
    if (piece.kind === 'gap') {
      gap += piece.length;
      bare = piece.bare;
    }
    if (piece.kind !== 'string') continue;
    const isTapped = previous !== undefined && gap === 0 && taken.get(previous)?.has(previous.count) === true;
    const name = nameOf(run, piece, names);
    const before = previous;
    if (before === undefined) add(piece, 0, name ?? `${run.name}.start`);
    else if (!isTapped) {
      const isInside = bare && piece.line.strands === 1;
      if (name !== undefined && !isInside) add(piece, 0, name);
      else if (!isInside) add(before, before.count, `${run.name}[${piece.first - 1}]`);
      if (gap > WIDE_GAP && name !== undefined && !bare) add(before, before.count, `${run.name}[${piece.first - 1}]`);
    }
    if (middle) {
      for (
        let number = Math.ceil((piece.first + 1) / step) * step;
        number < piece.first + piece.count - 1;
        number += step
      ) {
        const pixel = number - piece.first + 1;
        add(piece, pixel, `${run.name}[${number}]`);
      }
    }
    previous = piece;
    gap = 0;
    bare = false;
  }
  if (previous !== undefined) add(previous, previous.count, `${run.name}.end`);
  return inOrder([...spots.values()]);
}

/** In the order of the data. */
export function inOrder(spots: readonly Spot[]): Spot[] {
  return [...spots].sort((a, b) => a.before - b.before || a.way - b.way);
}

/** m from which both sides of a gap count as places of their own. */
const WIDE_GAP = 1;

function tappedJoints(plan: Plan, run: Run): Map<StringPiece, Set<number>> {
  const taken = new Map<StringPiece, Set<number>>();
  for (const feed of plan.feeds.values()) {
    for (const piece of feed.pieces) {
      if (piece.kind !== 'tap' || piece.tap.run !== run) continue;
      const pixels = taken.get(piece.tap.piece) ?? new Set();
      taken.set(piece.tap.piece, pixels.add(piece.tap.pixel));
    }
  }
  return taken;
}

/** How a plan would call the joint before a string; undefined where it has no name of its own. */
function nameOf(run: Run, piece: StringPiece, names: ReadonlyMap<string, ReadonlySet<StringLine | string>>) {
  const { copies, element, line } = piece;
  const isUnique = (name: string) => names.get(name)?.size === 1;
  if (copies !== undefined)
    return piece.strand === 1 && isUnique(copies.name) && isFirstOfCopy(run, piece)
      ? `${run.name}.${copies.name}(${copies.number})`
      : undefined;
  if (element === undefined || !isUnique(element)) return undefined;
  return line.strands > 1 ? `${run.name}.${element}(${piece.strand})` : `${run.name}.${element}`;
}

function isFirstOfCopy(run: Run, piece: StringPiece): boolean {
  const first = run.pieces.find(
    (other) =>
      other.kind === 'string' &&
      other.copies?.name === piece.copies?.name &&
      other.copies?.number === piece.copies?.number,
  );
  return first === piece;
}

/** What each name on the run stands for: one line, one row of copies, or several things by mistake. */
function nameCounts(run: Run): Map<string, Set<StringLine | string>> {
  const names = new Map<string, Set<StringLine | string>>();
  const add = (name: string, what: StringLine | string) => names.set(name, (names.get(name) ?? new Set()).add(what));
  for (const piece of run.pieces) {
    if (piece.kind !== 'string') continue;
    if (piece.copies !== undefined) add(piece.copies.name, `copies at ${piece.origin.start}`);
    if (piece.element !== undefined) add(piece.element, piece.line);
  }
  return names;
}

/** The next of 1, 2, 5, 10, 20, 50 … */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(1, least)));
  return [1, 2, 5].map((factor) => factor * power).find((step) => step >= least) ?? 10 * power;
}

/** As many of some spots as are searched. */
export function thinned(spots: readonly Spot[], middle: boolean): Spot[] {
  const most = middle ? MOST_SPOTS + MIDDLE_POINTS : MOST_SPOTS;
  if (spots.length <= most) return [...spots];
  // The first and the last one stay.
  return Array.from({ length: most }, (_, index) => sure(spots[Math.round((index * (spots.length - 1)) / (most - 1))]));
}
