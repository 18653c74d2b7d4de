import {
  awgArea,
  copperCladAluminiumFactor,
  copperResistivity20,
  copperTemperatureCoefficient,
  strandedFactor,
} from '../electrics/conductor.ts';
import type { Given, Measure } from './bound.ts';
import type { Conductor } from './plan.ts';
import type { Setting } from './setting.ts';

/** What a plan's wire sizes mean: resistance and the current that they may carry. */

/**
 * IEC 60228, class 5 (flexible) plain copper: maximum resistance at 20 degC in ohm/km by nominal area in mm2.
 * A metric cable is bought by this standard, so its limit is what can be counted on; area alone would promise
 * 3 to 13 % less.
 */
const CLASS_5: ReadonlyMap<number, number> = new Map([
  [0.5, 39.0],
  [0.75, 26.0],
  [1, 19.5],
  [1.5, 13.3],
  [2.5, 7.98],
  [4, 4.95],
  [6, 3.3],
]);

/** A conductor from its written size, which is a gauge or an area in m2. */
export function conductorOf(size: Given<Measure>, clad: boolean): Conductor {
  const gauge = size.value.dimension === 'gauge';
  const area = gauge ? awgArea(size.value.si) : size.value.si * 1e6;
  const standard = gauge ? undefined : CLASS_5.get(Number(area.toPrecision(6)));
  const copper = standard === undefined ? (copperResistivity20 / area) * strandedFactor : standard / 1000;
  const source =
    standard === undefined ? 'area and stranding (IEC 60028, ASTM B258, ASTM B8)' : 'IEC 60228 class 5 maximum';
  return {
    area,
    ohmsPerMetre: clad ? copper * copperCladAluminiumFactor[10] : copper,
    source: clad ? `${source}, copper-clad aluminium class 10 (ASTM B566, from memory)` : source,
    text: size.text,
    measured: gauge ? 'gauge' : 'area',
  };
}

/** Resistance of one conductor of some length, ohm, at an air temperature in degC. */
export function conductorOhms(conductor: Conductor, metres: number, celsius: number, parallel = 1): number {
  return (conductor.ohmsPerMetre * metres * (1 + copperTemperatureCoefficient * (celsius - 20))) / parallel;
}

/**
 * The current that a conductor may carry where its part does not say.
 * Gauge: the largest overcurrent device that NEC 240.4(D) allows for copper (18 and 16 AWG from memory), smaller
 * gauges by FAA AC 43.13-1B table 11-9. Area: flexible cords by HD 21 (1.5 and 2.5 mm2 from memory).
 */
export function ratedByConductor(conductor: Conductor): Setting<number> | undefined {
  const table = conductor.measured === 'gauge' ? BY_GAUGE : BY_AREA;
  let found: number | undefined;
  for (const [area, amps] of table) if (conductor.area >= area * 0.999) found = amps;
  if (found === undefined) return undefined;
  const source = conductor.measured === 'gauge' ? 'NEC 240.4(D) and FAA AC 43.13-1B' : 'flexible cords, HD 21';
  return { value: found, origin: undefined, source };
}

const BY_GAUGE: readonly (readonly [number, number])[] = [
  [awgArea(24), 2.5],
  [awgArea(22), 3],
  [awgArea(20), 4],
  [awgArea(18), 7],
  [awgArea(16), 10],
  [awgArea(14), 15],
  [awgArea(12), 20],
  [awgArea(10), 30],
];

const BY_AREA: readonly (readonly [number, number])[] = [
  [0.5, 3],
  [0.75, 6],
  [1, 10],
  [1.5, 16],
  [2.5, 25],
];
