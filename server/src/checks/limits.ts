/** Products and sums of decimal fractions are exact but for their last digits. */
const ROUNDING = 1e-9;

/** Is a value beyond the most that it may be? One that meets its limit exactly is not. Same unit, none below 0. */
export function exceeds(value: number, limit: number): boolean {
  return value > limit * (1 + ROUNDING);
}
