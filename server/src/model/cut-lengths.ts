import type { Design } from './plan.ts';

/** m that the lengths of planned cables are rounded up to: half a metre or a foot. */
export function cableStep({ units }: Pick<Design, 'units'>): number {
  return units === 'metric' ? 0.5 : 0.3048;
}

/** The next whole number of steps, one at least. */
export function roundedUp(length: number, step: number): number {
  return Math.max(step, Math.ceil(length / step - 1e-9) * step);
}
