import type { Origin } from './finding.ts';
import type { Setting } from './setting.ts';

/** What the plan says of mains: breakers, derating, the season. */

/** Type of a breaker's instantaneous trip, IEC 60898. */
export type Trip = 'B' | 'C' | 'D';

/** The whole rating up to `above`, then along a line through `share` at `hot`; degC. */
export interface Derating {
  readonly above: number;
  readonly share: number;
  readonly hot: number;
}

export interface Season {
  readonly nights: number;
  /** s that a night lasts. */
  readonly seconds: number;
  /** Average brightness. */
  readonly brightness: Setting<number>;
  /** Money per joule. */
  readonly price: number | undefined;
  readonly origin: Origin;
}
