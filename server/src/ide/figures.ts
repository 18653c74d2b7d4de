import type { Analysis } from '../analysis/analysis.ts';
import { isDark } from '../checks/string-state.ts';
import type { Account } from '../model/account.ts';
import { deratedOf } from '../model/derating.ts';
import type { usersByOutput } from '../model/outputs.ts';
import type { Board, Feed, Plan, Run, Supply } from '../model/plan.ts';
import { amps, count, share, volts } from '../model/texts.ts';

/** The figures of things in passing: the same words at the ends of lines, above them, and in the tree of the power. */

/** "6.00 A, 10.17 V at 100": its load, its least voltage and the pixel that has it. */
export function runText({ account }: Analysis, run: Run): string | undefined {
  const load = account.runs.get(run);
  if (load?.least === undefined) return undefined;
  return load.strings.every(isDark)
    ? 'no power'
    : `${amps(load.amps)}, ${volts(load.least.volts)} at ${load.least.pixel}`;
}

/** "6.00 A, −0.68 V": what goes in, and what its cables lose. */
export function feedText({ account }: Analysis, feed: Feed): string | undefined {
  const load = account.feeds.get(feed);
  return load === undefined || feed.pieces.length === 0
    ? undefined
    : `${amps(load.amps)}, −${volts(Math.abs(load.drop))}`;
}

/** "6.00 A, 6 %": its load, and the share of its rating. */
export function supplyText({ account }: Analysis, supply: Supply): string | undefined {
  const load = account.supplies.get(supply);
  const rated = supply.part?.rated;
  return load === undefined || rated === undefined ? undefined : `${amps(load.amps)}, ${share(load.amps / rated)}`;
}

export function boardText({ account }: Analysis, board: Board): string | undefined {
  const load = account.boards.get(board);
  return load === undefined ? undefined : `${amps(load.cable.positive)}, −${volts(Math.abs(load.drop))}`;
}

type UsersOf = ReturnType<typeof usersByOutput>;

/** "1 of 2 outputs free"; undefined for a supply without outputs. */
export function freeText(supply: Supply, usersOf: UsersOf): string | undefined {
  const outputs = [...supply.outputs.values()];
  if (outputs.length === 0) return undefined;
  const free = outputs.filter((output) => usersOf(output).length === 0);
  return `${free.length} of ${count(outputs.length, 'output')} free`;
}

/** "74.0 A to spare", up to the share that the plan loads supplies to of what it can give in its box. */
export function spareText({ plan, account }: Analysis, supply: Supply): string | undefined {
  const whole = deratedOf(plan.design, supply);
  const load = account.supplies.get(supply);
  if (whole === undefined || load === undefined) return undefined;
  const spare = whole.amps * plan.design.supplyShare.value - load.amps;
  return spare > 0 ? `${amps(spare)} to spare` : 'nothing to spare';
}

/** W from all supplies; undefined where nothing is computed for any. */
export function wattsOf({ supplies }: Account): number | undefined {
  return supplies.size === 0 ? undefined : [...supplies.values()].reduce((sum, supply) => sum + supply.watts, 0);
}

/** Pixels of all runs. */
export function pixelsOfAll({ runs }: Plan): number {
  return [...runs.values()].reduce((sum, run) => sum + run.pixelCount, 0);
}

const MOST_NAMES = 4;

/** "a, b, c, d and 2 more" */
export function listed(names: readonly string[]): string {
  const more = names.length - MOST_NAMES;
  return names.slice(0, more > 0 ? MOST_NAMES : names.length).join(', ') + (more > 0 ? ` and ${more} more` : '');
}

/** What is known, one behind the other. */
export function joined(...texts: readonly (string | undefined)[]): string {
  return texts.filter((text) => text !== undefined && text !== '').join(' · ');
}
