import { exact } from '#grammar/exact.ts';
import { sure } from '#grammar/sure.ts';
import type { AddressPin } from './data-side.ts';
import { Intervals } from './intervals.ts';
import { sourceOf } from './links.ts';
import { isNull } from './null-pixels.ts';
import type { Controller, Plan, Run } from './plan.ts';

/**
 * Addresses by ANSI E1.31: universes 1 to 63,999 of 512 slots. A run's pixels take their slots one after the other, in
 * the order of the data; dark pixels take none.
 *
 * Runs with a pinned address have it. The others follow one another in the order of the plan, from the first universe of
 * their controller on, and step over what is pinned. A controller without a first universe takes those behind the
 * controllers before it and steps over all that stands there already.
 */
export const SLOTS_OF_UNIVERSE = 512;
export const LAST_UNIVERSE = 63_999;

/** Pixels next to each other in the data and in one universe. */
export interface AddressSpan {
  readonly universe: number;
  /** Counted from 1. */
  readonly slot: number;
  readonly slots: number;
  /** Numbers along the run, counted from 1. A pixel that lies in two universes is in both spans. */
  readonly firstPixel: number;
  readonly lastPixel: number;
}

export interface RunAddress {
  readonly run: Run;
  readonly controller: Controller;
  readonly isPinned: boolean;
  /** Of universes beyond the last that there can be, only those at the ends of a string or panel. */
  readonly spans: readonly AddressSpan[];
  /** Its first slot and the slot behind its last, counted from 0 through all universes. */
  readonly from: number;
  readonly to: number;
}

/** The address of every run that has a controller and pixels, in the order of the plan. */
export function addressesOf(plan: Plan): ReadonlyMap<Run, RunAddress> {
  let addresses = kept.get(plan);
  if (addresses === undefined) {
    addresses = place(plan);
    kept.set(plan, addresses);
  }
  return addresses;
}

const kept = new WeakMap<Plan, ReadonlyMap<Run, RunAddress>>();

/** Slots that runs take one behind the other from the start of a universe on, where nothing is in their way. */
export function slotsInRow(runs: readonly Run[]): number {
  return runs.reduce((at, run) => layOut(run, at).to, 0);
}

/** Slot of a universe counted from 0 through all universes. */
export function positionOf(universe: number, slot: number): number {
  return (universe - 1) * SLOTS_OF_UNIVERSE + slot - 1;
}

/** Pixels in a row that take the same number of slots each. */
export interface AddressedPixels {
  readonly firstPixel: number;
  readonly count: number;
  readonly slots: number;
}

/** The pixels of a run that have an address, in data order. */
export function addressedPixels(run: Run): readonly AddressedPixels[] {
  let rows = rowsOfRun.get(run);
  if (rows === undefined) {
    rows = findRows(run);
    rowsOfRun.set(run, rows);
  }
  return rows;
}

const rowsOfRun = new WeakMap<Run, readonly AddressedPixels[]>();

function findRows(run: Run): readonly AddressedPixels[] {
  const rows: AddressedPixels[] = [];
  // A panel is one load of the run and has many pixels: on runs with panels their pixels are what is numbered.
  let behind = 0;
  for (const piece of run.pieces) {
    if (piece.kind !== 'string' || isNull(piece.line)) continue;
    const slots = piece.part.slots.value;
    const { panel } = piece.part;
    if (panel !== undefined) {
      const count = panel.rows * panel.columns;
      rows.push({ firstPixel: behind + 1, count, slots });
      behind += count;
      continue;
    }
    const last = rows.at(-1);
    if (last !== undefined && last.slots === slots && last.firstPixel + last.count === piece.first)
      rows[rows.length - 1] = { ...last, count: last.count + piece.count };
    else rows.push({ firstPixel: piece.first, count: piece.count, slots });
  }
  return exact(rows);
}

/** Where the slots of one pixel start; none for a dark pixel. */
export function addressOfPixel(
  { run, controller, spans, from }: RunAddress,
  pixel: number,
): { readonly universe: number; readonly slot: number } | undefined {
  let before = 0;
  for (const { firstPixel, count, slots } of addressedPixels(run)) {
    const behind = pixel - firstPixel;
    if (behind >= 0 && behind < count) {
      // Where pixels may be split, slots follow one another without a hole.
      if (controller.universes?.split === true) return slotAt(from + before + behind * slots);
      const span = sure(spans.findLast((each) => each.firstPixel <= pixel));
      if (pixel <= span.lastPixel)
        return { universe: span.universe, slot: span.slot + (pixel - span.firstPixel) * slots };
      // In a universe that is not listed, as there is none of its number: behind the span, each is full of pixels.
      const each = Math.floor(SLOTS_OF_UNIVERSE / slots);
      const further = pixel - span.lastPixel - 1;
      return { universe: span.universe + 1 + Math.floor(further / each), slot: (further % each) * slots + 1 };
    }
    before += count * slots;
  }
  return undefined;
}

function slotAt(position: number): { readonly universe: number; readonly slot: number } {
  return { universe: Math.floor(position / SLOTS_OF_UNIVERSE) + 1, slot: (position % SLOTS_OF_UNIVERSE) + 1 };
}

function place(plan: Plan): ReadonlyMap<Run, RunAddress> {
  const runs = new Map<Controller, Run[]>();
  for (const run of plan.runs.values()) {
    const controller = sourceOf(run);
    if (controller === undefined || addressedPixels(run).length === 0) continue;
    const before = runs.get(controller);
    if (before === undefined) runs.set(controller, [run]);
    else before.push(run);
  }
  const placer = new Placer();
  for (const run of [...runs.values()].flat()) if (run.pin !== undefined) placer.pin(run, run.pin);
  const pinned = placer.taken.copy();
  for (const controller of plan.controllers.values())
    if (controller.universes !== undefined)
      placer.row(runs.get(controller) ?? [], positionOf(controller.universes.first, 1), pinned);
  let behind = 0;
  for (const controller of plan.controllers.values()) {
    const its = runs.get(controller) ?? [];
    if (controller.universes === undefined) placer.row(its, behind, placer.taken);
    for (const run of its) {
      const { to } = sure(placer.placed.get(run));
      behind = Math.max(behind, Math.ceil(to / SLOTS_OF_UNIVERSE) * SLOTS_OF_UNIVERSE);
    }
  }
  return inOrder(plan, placer.placed);
}

function inOrder(plan: Plan, placed: ReadonlyMap<Run, RunAddress>): ReadonlyMap<Run, RunAddress> {
  const addresses = new Map<Run, RunAddress>();
  for (const run of plan.runs.values()) {
    const address = placed.get(run);
    if (address !== undefined) addresses.set(run, address);
  }
  return addresses;
}

class Placer {
  readonly placed = new Map<Run, RunAddress>();
  readonly taken = new Intervals();

  pin(run: Run, { universe, slot }: AddressPin): void {
    this.put(run, positionOf(universe, slot), true);
  }

  /** Puts runs one behind the other from a slot on, stepping over what is taken. */
  row(runs: readonly Run[], start: number, taken: Intervals): void {
    let at = start;
    for (const run of runs) {
      if (run.pin !== undefined) continue;
      let spot = laidOut(run, at);
      for (let next = taken.endOver(spot); next !== undefined; next = taken.endOver(spot)) spot = laidOut(run, next);
      at = this.put(run, spot.from, false);
    }
  }

  private put(run: Run, start: number, isPinned: boolean): number {
    const { from, to, spans } = laidOut(run, start);
    this.taken.add(from, to);
    this.placed.set(run, { run, controller: sure(sourceOf(run)), isPinned, spans, from, to });
    return to;
  }
}

/** The same as the time before where the start is: most edits move no run. */
function laidOut(run: Run, start: number): Layout {
  let layout = layouts.get(run);
  if (layout?.start !== start) {
    layout = layOut(run, start);
    layouts.set(run, layout);
  }
  return layout;
}

const layouts = new WeakMap<Run, Layout>();

interface Layout extends Pick<RunAddress, 'from' | 'to' | 'spans'> {
  readonly start: number;
}

/** Where the pixels of a run lie when the first of them starts at a slot or, where it does not fit, behind it. */
function layOut(run: Run, start: number): Layout {
  const isSplit = sourceOf(run)?.universes?.split === true;
  const spans: AddressSpan[] = [];
  let at = start;
  let from: number | undefined;
  for (const row of addressedPixels(run)) {
    const all = row.count * row.slots;
    for (let done = 0; done < all; ) {
      const slot = at % SLOTS_OF_UNIVERSE;
      const room = SLOTS_OF_UNIVERSE - slot;
      let fits = Math.min(isSplit ? room : room - (room % row.slots), all - done);
      if (fits === 0) {
        at += room;
        continue;
      }
      from ??= at;
      const skipped = slot === 0 && done > 0 ? universesToSkip(at, all - done, fits) : 0;
      done += skipped * fits;
      at += skipped * SLOTS_OF_UNIVERSE;
      fits = Math.min(fits, all - done);
      spans.push({
        universe: Math.floor(at / SLOTS_OF_UNIVERSE) + 1,
        slot: slot + 1,
        slots: fits,
        firstPixel: row.firstPixel + Math.floor(done / row.slots),
        lastPixel: row.firstPixel + Math.ceil((done + fits) / row.slots) - 1,
      });
      done += fits;
      at += fits;
    }
  }
  return { start, from: from ?? start, to: at, spans: exact(spans) };
}

/**
 * How many full universes from a slot on need no span of their own, where so many slots are still to be laid out: those
 * beyond the last but the one at the end. Large panels typed in their hundreds would make spans by the hundred million.
 */
function universesToSkip(at: number, slots: number, each: number): number {
  return at < END ? 0 : Math.ceil(slots / each) - 1;
}

/** The slot behind the last universe. */
const END = LAST_UNIVERSE * SLOTS_OF_UNIVERSE;
