import { sure } from '#grammar/sure.ts';
import { FUSE_RATINGS, fuseOhms, ratedFuse } from '../model/fuses.ts';
import { usersOf } from '../model/outputs.ts';
import type { Board, Output, Plan, Supply } from '../model/plan.ts';
import type { WiredCable } from './reach.ts';

/** The output that a planned feed starts at. */
export interface PlannedOutput {
  readonly number: number;
  /** A; the fuse that the output gets, undefined where it stays as it is. */
  readonly fuse: number | undefined;
}

/** More outputs than this have no place on a board. */
const MOST_OUTPUTS = 64;
/** Blade fuses end here, A. */
const LARGEST_FUSE = 30;

/** The smallest and the largest fuse that protects a cable, A; undefined where none does. */
export function fuseRange(cable: WiredCable, parallel: number): { least: number; most: number } | undefined {
  const limit = Math.min((cable.rated?.value ?? Number.POSITIVE_INFINITY) * parallel, LARGEST_FUSE);
  const most = ratedFuse(0, limit, 1, 'largest');
  return most === undefined ? undefined : { least: sure(FUSE_RATINGS[0]), most };
}

/**
 * An output for each load (A, in the order of the feeds): the free output whose fuse is the smallest that carries the
 * load and protects the cable, else a free one that gets such a fuse, else a new one of a supply (see canAdd). `spare`
 * takes the largest fuse that protects the cable where there is a choice. Undefined where some load finds no output.
 */
export function outputsFor(
  plan: Plan,
  owner: Supply | Board,
  loads: readonly number[],
  most: number,
  spare = false,
): PlannedOutput[] | undefined {
  const free = freeOutputs(plan, owner).sort((a, b) => a.fuse.amps - b.fuse.amps || a.number - b.number);
  const changing: FusedOutput[] = [];
  let highest = Math.max(0, ...owner.outputs.keys());
  const share = plan.design.fuseShare.value;
  const planned: (PlannedOutput | undefined)[] = loads.map((load) => {
    const index = free.findIndex(
      ({ fuse }) => load <= fuse.amps * share && fuse.amps <= most * (1 + 1e-9) && !(spare && fuse.amps < most),
    );
    const [output] = index < 0 ? [] : free.splice(index, 1);
    return output && { number: output.number, fuse: undefined };
  });
  for (const [index, load] of loads.entries()) {
    if (planned[index] !== undefined) continue;
    const fuse = ratedFuse(load, most, share, spare ? 'largest' : 'smallest');
    if (fuse === undefined) return undefined;
    const output = nextToChange(owner, free, changing);
    if (output !== undefined) {
      free.splice(free.indexOf(output), 1);
      changing.push(output);
      planned[index] = { number: output.number, fuse };
    } else {
      if (!canAdd(plan, owner) || highest >= MOST_OUTPUTS) return undefined;
      planned[index] = { number: ++highest, fuse };
    }
  }
  return planned.filter((output) => output !== undefined);
}

/** How many feeds can start at a supply or board at most. */
export function mostOutputs(plan: Plan, owner: Supply | Board): number {
  const free = freeOutputs(plan, owner).length;
  return canAdd(plan, owner) ? free + MOST_OUTPUTS - Math.max(0, ...owner.outputs.keys()) : free;
}

/** A supply gets no more outputs while a fused board beside it has free ones, and a board has those that it came with. */
function canAdd(plan: Plan, owner: Supply | Board): boolean {
  if (owner.kind === 'board') return false;
  const beside = [...plan.boards.values()].filter(({ from, place }) => from.supply === owner && place === owner.place);
  return beside.every((board) => freeOutputs(plan, board).length === 0);
}

type FusedOutput = Output & { readonly fuse: NonNullable<Output['fuse']> };

/** Fused outputs that nothing starts at. */
function freeOutputs(plan: Plan, owner: Supply | Board): FusedOutput[] {
  const isFused = (output: Output): output is FusedOutput => output.fuse !== undefined;
  return [...owner.outputs.values()].filter(isFused).filter((output) => usersOf(plan, output).length === 0);
}

/**
 * A free output whose fuse can be exchanged: one with a line of its own, or the last of several on one line, which is
 * then shortened by it. Two at least stay on that line, since it says "outputs".
 */
function nextToChange(
  owner: Supply | Board,
  free: readonly FusedOutput[],
  changing: readonly FusedOutput[],
): FusedOutput | undefined {
  return [...free]
    .sort((a, b) => a.number - b.number)
    .find((output) => {
      // A resistance that was measured is that of the fuse that stands there.
      if (Math.abs(output.fuse.ohms - fuseOhms(output.fuse.amps)) > 1e-9) return false;
      const line = sameLine(owner, output).filter((other) => !changing.some(({ number }) => number === other.number));
      return line.length === 1
        ? sameLine(owner, output).length === 1
        : line.length > 2 && line.every(({ number }) => number <= output.number);
    });
}

/** The outputs that one line of the plan gives. */
export function sameLine(owner: Supply | Board, output: Output): Output[] {
  return [...owner.outputs.values()].filter(({ origin }) => origin.start === output.origin.start);
}
