import type { Choice } from './choice.ts';
import type { Spot } from './spots.ts';
import type { Outcome, Trial } from './trial.ts';

/** Feeds that hold, built tap by tap. */
export interface Built {
  readonly spots: readonly Spot[];
  readonly outcome: Outcome;
}

/** More taps than this are no longer a plan for one run. */
const MOST_TAPS = 32;

/**
 * Taps again and again where the run sags most, until the trial holds; then takes away each tap that is not needed.
 * Quick, and no proof that fewer would not do. Undefined where even that does not hold.
 */
export function buildGreedily(choice: Choice, trial: Trial, all: readonly Spot[], holds: (built: Built) => boolean) {
  const most = Math.min(MOST_TAPS, all.length, choice.trunk || choice.limited === 0 ? MOST_TAPS : roomFor(choice));
  if (choice.limited > 0 && choice.trunk && choice.parallel > choice.room) return undefined;
  let spots: Spot[] = [];
  while (spots.length < most) {
    const next = nextSpot(choice, trial, all, spots);
    if (next === undefined) return undefined;
    spots = [...spots, next].sort((a, b) => a.before - b.before);
    // While the run sags in the hardest corner there is nothing to judge.
    const outcome = trial.worstPixel(choice, spots) === undefined ? trial.judge(choice, spots) : undefined;
    if (outcome !== undefined) {
      const built = { spots, outcome };
      const polished = polish(choice, trial, built);
      return [polished, built].find(holds);
    }
  }
  return undefined;
}

function roomFor(choice: Choice): number {
  return Math.floor(choice.room / choice.parallel);
}

/** The free place nearest to the worst pixel; where none sags but something is overloaded, amid the widest span. */
function nextSpot(choice: Choice, trial: Trial, all: readonly Spot[], spots: readonly Spot[]): Spot | undefined {
  const free = all.filter((spot) => !spots.includes(spot));
  const target = trial.worstPixel(choice, spots) ?? amidWidest(all, spots);
  const distance = (spot: Spot) => Math.abs(spot.before - target);
  return free.reduce<Spot | undefined>(
    (best, spot) => (best && distance(best) <= distance(spot) ? best : spot),
    undefined,
  );
}

function amidWidest(all: readonly Spot[], spots: readonly Spot[]): number {
  const marks = [all[0]?.before ?? 0, ...spots.map(({ before }) => before), all.at(-1)?.before ?? 0];
  let [widest, middle] = [-1, 0];
  for (const [index, mark] of marks.entries()) {
    const before = marks[index - 1] ?? mark;
    if (mark - before > widest) [widest, middle] = [mark - before, (mark + before) / 2];
  }
  return middle;
}

function polish(choice: Choice, trial: Trial, built: Built): Built {
  let best = built;
  for (const spot of built.spots) {
    const spots = best.spots.filter((other) => other !== spot);
    if (spots.length === 0) continue;
    const outcome = trial.judge(choice, spots);
    if (outcome !== undefined) best = { spots, outcome };
  }
  return best;
}
