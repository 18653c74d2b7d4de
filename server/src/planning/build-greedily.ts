import { sure } from '#grammar/sure.ts';
import type { Steps } from '../model/steps.ts';
import type { Answer } from './answer.ts';
import type { Bound } from './bound.ts';
import { type Choice, mostCables } from './choice.ts';
import { inOrder, type Spot } from './spots.ts';
import type { Outcome, Trial } from './trial.ts';

/** Feeds that hold, built tap by tap. */
export interface Built {
  readonly spots: readonly Spot[];
  readonly outcome: Outcome;
}

/** What a choice is tried on: the bound in no time, the trial on the real network. */
export interface Ground {
  readonly spots: readonly Spot[];
  readonly trial: Trial;
  readonly bound: Pick<Bound, 'wanting'> | undefined;
}

/** More taps than this are no longer a plan for one run. */
const MOST_TAPS = 32;
/** Refusals for the sake of others after which more taps, which draw more, are not tried. */
const MOST_HARMFUL = 4;

/**
 * Taps again and again where the run sags most, until the trial holds; then takes away each tap that is not needed.
 * Quick, and no proof that fewer would not do. Undefined where even that does not hold; `answer` has the last word.
 */
export function* buildGreedily(
  choice: Choice,
  ground: Ground,
  answer: (built: Built) => Answer | undefined,
): Steps<Answer | undefined> {
  const cables = mostCables(choice);
  if (cables < 1) return undefined;
  const most = Math.min(MOST_TAPS, ground.spots.length, choice.trunk ? MOST_TAPS : cables);
  let spots: readonly Spot[] = [];
  let worst = worstPlace(choice, ground, spots);
  const mostHarmful = ground.trial.harmful + MOST_HARMFUL;
  while (spots.length < most && ground.trial.harmful < mostHarmful) {
    yield;
    const next = nextSpot(ground.spots, spots, worst);
    spots = inOrder([...spots, next]);
    worst = worstPlace(choice, ground, spots);
    // While the run sags in the hardest corner there is nothing to judge.
    const outcome = worst === undefined ? ground.trial.judge(choice, spots) : undefined;
    if (outcome === undefined) continue;
    const built = { spots, outcome };
    return answer(yield* polish(choice, ground, built));
  }
  return undefined;
}

/** Pixels before the place that is wanting most; the real network is only asked where the bound has nothing to say. */
function worstPlace(choice: Choice, { bound, trial }: Ground, spots: readonly Spot[]): number | undefined {
  return bound?.wanting(choice, spots) ?? trial.worstPixel(choice, spots);
}

/** The free place nearest to the worst pixel; where none sags but something is overloaded, amid the widest span. */
function nextSpot(all: readonly Spot[], spots: readonly Spot[], worst: number | undefined): Spot {
  const target = worst ?? amidWidest(all, spots);
  const distance = (spot: Spot) => Math.abs(spot.before - target);
  return all
    .filter((spot) => !spots.includes(spot))
    .reduce((best, spot) => (distance(best) <= distance(spot) ? best : spot));
}

function amidWidest(all: readonly Spot[], spots: readonly Spot[]): number {
  const marks = [sure(all[0]), ...spots, sure(all.at(-1))].map(({ before }) => before);
  let [widest, middle] = [-1, 0];
  for (const [index, mark] of marks.entries()) {
    const before = marks[index - 1] ?? mark;
    if (mark - before > widest) [widest, middle] = [mark - before, (mark + before) / 2];
  }
  return middle;
}

function* polish(choice: Choice, { bound, trial }: Ground, built: Built): Steps<Built> {
  let best = built;
  for (const spot of built.spots) {
    const spots = best.spots.filter((other) => other !== spot);
    if (spots.length === 0 || bound?.wanting(choice, spots) !== undefined) continue;
    yield;
    const outcome = trial.judge(choice, spots);
    if (outcome !== undefined) best = { spots, outcome };
  }
  return best;
}
