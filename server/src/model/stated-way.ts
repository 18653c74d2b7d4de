import type { Origin } from './finding.ts';

/** The way of a cable whose length is written as well. */
export interface StatedWay {
  /** m along its routes, without slack. */
  readonly way: number;
  /** The length as written. */
  readonly lengthOrigin: Origin;
}
