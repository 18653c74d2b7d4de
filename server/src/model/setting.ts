import type { Origin } from './finding.ts';

/** A value with the place that gave it; `origin` is absent where a default holds, and `source` says why. */
export interface Setting<T> {
  readonly value: T;
  readonly origin: Origin | undefined;
  readonly source: string;
}
