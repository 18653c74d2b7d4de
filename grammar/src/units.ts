/**
 * Units as people write them, with their dimension and their factor to SI.
 * Sources: SI brochure (9th edition) for prefixes; international yard and pound agreement of 1959 for
 * 1 in = 25.4 mm exactly, 1 ft = 12 in. American wire gauge is a dimension of its own: a size, not a length.
 */

export type Dimension =
  | 'length'
  | 'voltage'
  | 'current'
  | 'power'
  | 'resistance'
  | 'area'
  | 'gauge'
  | 'temperature'
  | 'warming'
  | 'speed'
  | 'force'
  | 'nights'
  | 'price'
  | 'share'
  | 'rate'
  | 'time'
  | 'pixels'
  | 'strands'
  | 'rows'
  | 'columns'
  | 'cables'
  | 'bits'
  | 'bit-rate';

export interface Unit {
  readonly dimension: Dimension;
  /** SI value = written value * factor (+ offset). */
  readonly factor: number;
  readonly offset?: number;
}

export const UNITS: ReadonlyMap<string, Unit> = new Map<string, Unit>([
  ['m', { dimension: 'length', factor: 1 }],
  ['mm', { dimension: 'length', factor: 0.001 }],
  ['cm', { dimension: 'length', factor: 0.01 }],
  ['km', { dimension: 'length', factor: 1000 }],
  ['in', { dimension: 'length', factor: 0.0254 }],
  ['ft', { dimension: 'length', factor: 0.3048 }],
  ['yd', { dimension: 'length', factor: 0.9144 }],
  ['V', { dimension: 'voltage', factor: 1 }],
  ['mV', { dimension: 'voltage', factor: 0.001 }],
  ['A', { dimension: 'current', factor: 1 }],
  ['mA', { dimension: 'current', factor: 0.001 }],
  ['uA', { dimension: 'current', factor: 1e-6 }],
  ['W', { dimension: 'power', factor: 1 }],
  ['mW', { dimension: 'power', factor: 0.001 }],
  ['kW', { dimension: 'power', factor: 1000 }],
  ['ohm', { dimension: 'resistance', factor: 1 }],
  ['mohm', { dimension: 'resistance', factor: 0.001 }],
  ['kohm', { dimension: 'resistance', factor: 1000 }],
  ['mm2', { dimension: 'area', factor: 1e-6 }],
  ['mm²', { dimension: 'area', factor: 1e-6 }],
  ['m2', { dimension: 'area', factor: 1 }],
  ['m²', { dimension: 'area', factor: 1 }],
  ['ft2', { dimension: 'area', factor: 0.3048 ** 2 }],
  ['AWG', { dimension: 'gauge', factor: 1 }],
  ['degC', { dimension: 'temperature', factor: 1 }],
  ['degF', { dimension: 'temperature', factor: 5 / 9, offset: (-32 * 5) / 9 }],
  ['K', { dimension: 'warming', factor: 1 }],
  ['m/s', { dimension: 'speed', factor: 1 }],
  ['km/h', { dimension: 'speed', factor: 1 / 3.6 }],
  ['mph', { dimension: 'speed', factor: 0.44704 }],
  ['N', { dimension: 'force', factor: 1 }],
  ['kN', { dimension: 'force', factor: 1000 }],
  ['lbf', { dimension: 'force', factor: 4.4482216152605 }],
  ['%', { dimension: 'share', factor: 0.01 }],
  ['Hz', { dimension: 'rate', factor: 1 }],
  ['fps', { dimension: 'rate', factor: 1 }],
  ['kHz', { dimension: 'rate', factor: 1000 }],
  ['MHz', { dimension: 'rate', factor: 1e6 }],
  ['s', { dimension: 'time', factor: 1 }],
  ['ms', { dimension: 'time', factor: 0.001 }],
  ['us', { dimension: 'time', factor: 1e-6 }],
  ['h', { dimension: 'time', factor: 3600 }],
  ['nights', { dimension: 'nights', factor: 1 }],
  ['night', { dimension: 'nights', factor: 1 }],
  ['per-kWh', { dimension: 'price', factor: 1 / 3.6e6 }],
  ['px', { dimension: 'pixels', factor: 1 }],
  ['pixels', { dimension: 'pixels', factor: 1 }],
  ['pixel', { dimension: 'pixels', factor: 1 }],
  ['rows', { dimension: 'rows', factor: 1 }],
  ['row', { dimension: 'rows', factor: 1 }],
  ['columns', { dimension: 'columns', factor: 1 }],
  ['column', { dimension: 'columns', factor: 1 }],
  ['strands', { dimension: 'strands', factor: 1 }],
  ['strand', { dimension: 'strands', factor: 1 }],
  ['cables', { dimension: 'cables', factor: 1 }],
  ['cable', { dimension: 'cables', factor: 1 }],
  ['bits', { dimension: 'bits', factor: 1 }],
  ['bit', { dimension: 'bits', factor: 1 }],
  ['Mbps', { dimension: 'bit-rate', factor: 1e6 }],
  ['Gbps', { dimension: 'bit-rate', factor: 1e9 }],
  ['kbps', { dimension: 'bit-rate', factor: 1000 }],
]);

/** How each dimension is named to a person, and an example of a quantity of it. */
export const DIMENSIONS: Readonly<
  Record<Dimension, { readonly name: string; readonly unit: string; readonly example: string }>
> = {
  length: { name: 'a length', unit: 'm', example: '2.5 m' },
  voltage: { name: 'a voltage', unit: 'V', example: '12 V' },
  current: { name: 'a current', unit: 'A', example: '5 A' },
  power: { name: 'a power', unit: 'W', example: '350 W' },
  resistance: { name: 'a resistance', unit: 'mohm', example: '7 mohm' },
  area: { name: 'an area', unit: 'mm2', example: '0.75 mm2' },
  gauge: { name: 'a wire gauge', unit: 'AWG', example: '18 AWG' },
  temperature: { name: 'a temperature', unit: 'degC', example: '30 degC' },
  warming: { name: 'a rise of temperature', unit: 'K', example: '15 K' },
  speed: { name: 'a speed', unit: 'm/s', example: '25 m/s' },
  force: { name: 'a force', unit: 'kN', example: '4 kN' },
  nights: { name: 'a number of nights', unit: 'nights', example: '40 nights' },
  price: { name: 'a price of energy', unit: 'per-kWh', example: '0.30 per-kWh' },
  share: { name: 'a share', unit: '%', example: '80 %' },
  rate: { name: 'a rate', unit: 'fps', example: '40 fps' },
  time: { name: 'a time', unit: 'us', example: '280 us' },
  pixels: { name: 'a number of pixels', unit: 'px', example: '50 px' },
  rows: { name: 'a number of rows', unit: 'rows', example: '2 rows' },
  columns: { name: 'a number of columns', unit: 'columns', example: '4 columns' },
  strands: { name: 'a number of strands', unit: 'strands', example: '16 strands' },
  cables: { name: 'a number of cables', unit: 'cables', example: '4 cables' },
  bits: { name: 'a number of bits', unit: 'bits', example: '24 bits' },
  'bit-rate': { name: 'a bit rate', unit: 'Mbps', example: '100 Mbps' },
};

/** SI value of a written quantity's terms, or undefined where a unit is missing or unknown or dimensions differ. */
export function toSi(
  terms: readonly { value: number; unit: string | undefined }[],
): { value: number; dimension: Dimension } | undefined {
  let sum = 0;
  let dimension: Dimension | undefined;
  for (const term of terms) {
    const unit = term.unit === undefined ? undefined : UNITS.get(term.unit);
    if (unit === undefined || (dimension !== undefined && unit.dimension !== dimension)) return undefined;
    dimension = unit.dimension;
    sum += term.value * unit.factor + (unit.offset ?? 0);
  }
  return dimension === undefined ? undefined : { value: sum, dimension };
}
