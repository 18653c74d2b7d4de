/** The resistance of copper conductors from their gauge or area, length and temperature. Pure functions, SI and mm2. */

/** Resistivity of annealed copper at 20 degC, ohm mm2 / m: 58 MS/m exactly (IEC 60028, "100 % IACS"). */
export const copperResistivity20 = 1 / 58;

/** Temperature coefficient of copper's resistance at 20 degC, per K (IEC 60028: 0.00393). */
export const copperTemperatureCoefficient = 0.00393;

/**
 * Resistance of a stranded conductor over a solid one of the same area: the strands' lay makes them 2 % longer
 * than the cable (concentric lay, ASTM B8; from memory).
 */
export const strandedFactor = 1.02;

/**
 * Resistance of copper-clad aluminium over copper of the same area, by the share of copper in the volume
 * (classes 10 and 15 of ASTM B566: 0.02743 and 0.02676 ohm mm2 / m at 20 degC; from memory).
 */
export const copperCladAluminiumFactor = { 10: 0.02743 * 58, 15: 0.02676 * 58 } as const;

/**
 * Diameter of a solid round conductor by American wire gauge, mm (ASTM B258): 0.127 mm * 92^((36 - n) / 39).
 * Gauge 0 is 1/0, -1 is 2/0, -2 is 3/0, -3 is 4/0. Any finite number gives the formula's value.
 */
export function awgDiameter(gauge: number): number {
  return 0.127 * 92 ** ((36 - gauge) / 39);
}

/** Area of a solid round conductor by American wire gauge, mm2 (ASTM B258). */
export function awgArea(gauge: number): number {
  const diameter = awgDiameter(gauge);
  return (Math.PI / 4) * diameter * diameter;
}

/** Resistivity of annealed copper, ohm mm2 / m, at a temperature in degC: linear about 20 degC. */
export function copperResistivity(celsius: number): number {
  return copperResistivity20 * (1 + copperTemperatureCoefficient * (celsius - 20));
}

export interface Conductor {
  /** Area of one conductor, mm2. */
  readonly area: number;
  /** Length of one conductor, m (one way). */
  readonly metres: number;
  /** Temperature of the copper, degC. */
  readonly celsius: number;
  /** Equal conductors side by side; 1 when left out. */
  readonly parallel?: number;
  /** Product of the factors that apply (stranding, copper-clad aluminium); 1 when left out. */
  readonly factor?: number;
}

/**
 * Resistance of a conductor, ohm: rho(T) * L / (A * n) * factor, one way.
 * Gives NaN or Infinity for an area of zero or inputs that are no numbers; never throws.
 */
export function conductorOhms(conductor: Conductor): number {
  const { area, metres, celsius, parallel = 1, factor = 1 } = conductor;
  return (copperResistivity(celsius) * metres * factor) / (area * parallel);
}
