import type { Mast } from './plan.ts';

/** Figures of a guyed mast in the wind, in N, N m and m. They are a first estimate and approve nothing. */
export interface MastLoad {
  /** Pa */
  readonly pressure: number;
  readonly wind: number;
  /** About the foot. */
  readonly moment: number;
  /** Along the guy that the wind pulls at most. */
  readonly guy: number;
  /** The pull of that guy at its anchor: outward and up. */
  readonly anchorHorizontal: number;
  readonly anchorVertical: number;
  /** By which that guy presses the mast down on its foot; its own weight and any pretension come on top. */
  readonly down: number;
  /** Sideways at the foot. */
  readonly foot: number;
  readonly guyLength: number;
  /** Degrees above the ground. */
  readonly guyAngle: number;
}

/** kg/m3, EN 1991-1-4 recommended value, from memory. ASCE 7 has 0.613 v2 for 0.5 rho v2, which is 1.226: 2 % less. */
export const AIR_DENSITY = 1.25;

/**
 * A stiff mast that turns about its foot and is held by one level of guys. q = 0.5 rho v2; F = q c A at the centre of the
 * sail; the guys hold the moment at their height, H = F centre / height. When the wind blows along one of them, that one
 * holds it all, T = H / cos(angle above the ground); no number of guys from three up asks more of one. Gust response,
 * bending, buckling, ice, weight and pretension are left out.
 */
export function mastLoad({ sail, wind, guys }: Mast): MastLoad {
  const pressure = 0.5 * AIR_DENSITY * wind ** 2;
  const force = pressure * sail.drag.value * sail.area;
  const moment = force * sail.centre.value;
  const horizontal = moment / guys.height;
  const vertical = (horizontal * guys.height) / guys.radius;
  return {
    pressure,
    wind: force,
    moment,
    guy: Math.hypot(horizontal, vertical),
    anchorHorizontal: horizontal,
    anchorVertical: vertical,
    down: vertical,
    foot: force - horizontal,
    guyLength: Math.hypot(guys.radius, guys.height),
    guyAngle: (Math.atan2(guys.height, guys.radius) * 180) / Math.PI,
  };
}

/** A force as a person reads it: N below 1 kN, kN from there; with pounds-force where the plan is in feet. */
export function forceText(newtons: number, units: 'metric' | 'imperial'): string {
  if (units === 'imperial') return `${Number((newtons / 4.4482216152605).toPrecision(3))} lbf`;
  const size = Math.abs(newtons);
  return size < 999.5 ? `${Number(newtons.toPrecision(3))} N` : `${Number((newtons / 1000).toPrecision(3))} kN`;
}

/** Stands beside every figure of a mast. */
export const MAST_CAUTION =
  'A first estimate that approves nothing: gusts, ice, soil, anchors and the mast itself need competent advice and local codes.';
