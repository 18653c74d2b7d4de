import { sure } from '#grammar/sure.ts';

/**
 * Cold resistance of blade fuses by rating, mohm. 10 A: published meter table (7.7 mohm). The others: makers'
 * sheets, from memory. Between ratings the product of rating and resistance is interpolated.
 */
const COLD_MOHM: readonly (readonly [number, number])[] = [
  [1, 123],
  [2, 53.5],
  [3, 31.1],
  [4, 22.8],
  [5, 17.85],
  [7.5, 10.9],
  [10, 7.7],
  [15, 4.8],
  [20, 3.38],
  [25, 2.52],
  [30, 1.97],
];

/** Ratings that can be bought, A, by ISO 8820-3 (some from memory). */
export const FUSE_RATINGS: readonly number[] = COLD_MOHM.map(([amps]) => amps);

/** Cold resistance of a blade fuse in ohm by its rating in A. */
export function fuseOhms(amps: number): number {
  const first = sure(COLD_MOHM[0]);
  let below = first;
  for (const step of COLD_MOHM) {
    if (step[0] > amps && below[0] <= amps && below !== step) {
      const share = (amps - below[0]) / (step[0] - below[0]);
      const product = below[0] * below[1] * (1 - share) + step[0] * step[1] * share;
      return product / amps / 1000;
    }
    below = step;
  }
  const end = amps < first[0] ? first : below;
  return (end[0] * end[1]) / amps / 1000;
}

/**
 * The smallest rating that carries a load at most to a share of itself and is not above a limit, A; or with
 * `largest` the largest rating not above the limit. Undefined where there is none.
 */
export function ratedFuse(
  load: number,
  limit: number,
  share: number,
  pick: 'smallest' | 'largest' = 'smallest',
): number | undefined {
  const fit = FUSE_RATINGS.filter((size) => size <= limit && load <= size * share);
  return pick === 'smallest' ? fit[0] : fit.at(-1);
}
