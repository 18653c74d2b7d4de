import { FUSE_RATINGS, ratedFuse } from '../model/fuses.ts';
import type { Plan, Supply } from '../model/plan.ts';
import { usedOutputs, type WiredCable } from './reach.ts';

/** The output that a planned feed starts at. */
export interface PlannedOutput {
  readonly number: number;
  /** A; the fuse of an output that is to be added, undefined where the output is there already. */
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
  return most === undefined ? undefined : { least: FUSE_RATINGS[0] ?? most, most };
}

/**
 * An output for each load (A, in the order of the feeds): the free output whose fuse is the smallest that carries the
 * load and protects the cable, else a new one with such a fuse. `spare` takes the largest fuse that protects the cable
 * for new outputs. Undefined where some load finds no output.
 */
export function outputsFor(
  plan: Plan,
  supply: Supply,
  loads: readonly number[],
  most: number,
  spare = false,
): PlannedOutput[] | undefined {
  const used = usedOutputs(plan, supply);
  const free = [...supply.outputs.values()]
    .filter((output) => !used.has(output.number) && output.fuse !== undefined && output.fuse.amps <= most * (1 + 1e-9))
    .sort((a, b) => (a.fuse?.amps ?? 0) - (b.fuse?.amps ?? 0) || a.number - b.number);
  let highest = Math.max(0, ...supply.outputs.keys());
  const share = plan.design.fuseShare.value;
  const planned: PlannedOutput[] = [];
  for (const load of loads) {
    const index = free.findIndex((output) => load <= (output.fuse?.amps ?? 0) * share);
    const [output] = index < 0 ? [] : free.splice(index, 1);
    if (output !== undefined) {
      planned.push({ number: output.number, fuse: undefined });
      continue;
    }
    const fuse = ratedFuse(load, most, share, spare ? 'largest' : 'smallest');
    if (fuse === undefined || highest >= MOST_OUTPUTS) return undefined;
    highest++;
    planned.push({ number: highest, fuse });
  }
  return planned;
}
