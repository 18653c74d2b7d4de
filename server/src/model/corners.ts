import type { Design } from './plan.ts';

/** What a circuit is computed for: factors on set voltages and pixel currents, and the temperature of the copper. */
export interface Conditions {
  readonly supplies: number;
  readonly pixels: number;
  /** degC */
  readonly celsius: number;
  /** How a person would call it; empty for the nominal one. */
  readonly name: string;
}

/** As set and as sold, at the warmest air, where copper resists most. */
export function nominal(design: Design): Conditions {
  return { supplies: 1, pixels: 1, celsius: design.air.value.to, name: '' };
}

/** Every combination of what may stray, the nominal one left out; none where the plan states no tolerance. */
export function cornersOf(design: Design): Conditions[] {
  const { supplies, pixels } = design.tolerance;
  if (supplies === 0 && pixels === 0) return [];
  const { from, to } = design.air.value;
  const corners: Conditions[] = [];
  for (const celsius of from === to ? [to] : [to, from]) {
    for (const supply of supplies === 0 ? [0] : [-supplies, supplies]) {
      for (const pixel of pixels === 0 ? [0] : [pixels, -pixels]) {
        const words = [
          supply === 0 ? '' : `supplies ${percent(supply)}`,
          pixel === 0 ? '' : `pixels ${percent(pixel)}`,
          `air at ${Number(celsius.toFixed(1))} degC`,
        ];
        corners.push({
          supplies: 1 + supply,
          pixels: 1 + pixel,
          celsius,
          name: words.filter((word) => word !== '').join(', '),
        });
      }
    }
  }
  return corners;
}

function percent(share: number): string {
  return `${share > 0 ? '+' : '\u2212'}${Number(Math.abs(share * 100).toFixed(2))} %`;
}
