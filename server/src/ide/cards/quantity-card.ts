import type { Quantity } from '#grammar/ast.ts';
import { sure } from '#grammar/sure.ts';
import { DIMENSIONS, type Dimension, toSi, UNITS } from '#grammar/units.ts';
import type { Entry, Phrase } from '#grammar/words/entry.ts';
import { awgArea } from '../../electrics/conductor.ts';
import { conductorOf } from '../../model/conductors.ts';
import type { Origin } from '../../model/finding.ts';
import { type Card, type Fact, fact } from '../card.ts';

/** A quantity in other units, and where it enters. */
export function quantityCard(
  item: Quantity,
  text: string,
  origin: Origin,
  entry: Entry,
  phrase: Phrase | undefined,
): Card {
  const si = toSi(item.terms);
  const enters =
    phrase === undefined ? undefined : phrase.word === undefined ? entry.word : `${entry.word} … ${phrase.word}`;
  return {
    kind: si === undefined ? 'number' : DIMENSIONS[si.dimension].name.replace(/^an? /, ''),
    name: text,
    facts: [
      ...(si === undefined ? [] : otherUnits(si.value, si.dimension, item)),
      ...(si === undefined || !isWire(si.dimension, si.value)
        ? []
        : sizeFacts(si.value, si.dimension as 'gauge' | 'area', text, origin)),
      ...fact('enters as', enters, phrase?.help),
    ],
  };
}

/** Units in which people also give a value of each dimension. */
const SHOWN: Readonly<Partial<Record<Dimension, readonly string[]>>> = {
  length: ['m', 'mm', 'in', 'ft'],
  voltage: ['V', 'mV'],
  current: ['A', 'mA'],
  power: ['W', 'kW'],
  resistance: ['ohm', 'mohm'],
  temperature: ['degC', 'degF'],
  rate: ['fps', 'Hz', 'kHz', 'MHz'],
  time: ['h', 's', 'ms', 'us'],
  area: ['mm2', 'm2', 'ft2'],
  warming: ['K'],
  speed: ['m/s', 'km/h', 'mph'],
  force: ['N', 'kN', 'lbf'],
};

function otherUnits(si: number, dimension: Dimension, item: Quantity): Fact[] {
  const written = item.terms.length === 1 ? item.terms[0]?.unit : undefined;
  const others = (SHOWN[dimension] ?? []).filter((unit) => unit !== written && !tooLong(inUnit(si, unit)));
  if (dimension === 'share') return fact('same as', tooLong(si) ? undefined : plain(si));
  if (dimension === 'rate' && written === 'fps' && si > 0) return fact('one every', `${plain(1000 / si)} ms`);
  return fact('same as', others.map((unit) => `${plain(inUnit(si, unit))} ${unit}`).join(', ') || undefined);
}

function inUnit(si: number, name: string): number {
  const { factor, offset = 0 } = sure(UNITS.get(name));
  return (si - offset) / factor;
}

/** Nobody thinks of 14 m as 14,000 mm or of 5 mm as 0.005 m. */
function tooLong(value: number): boolean {
  const size = Math.abs(value);
  return size >= 100_000 || (size < 0.01 && size > 0);
}

function plain(value: number): string {
  return String(Number(value.toPrecision(4)));
}

/** A gauge, or an area that a wire may have: up to a thousand mm2, beyond which it is that of a sail. */
function isWire(dimension: Dimension, si: number): boolean {
  return dimension === 'gauge' || (dimension === 'area' && si < 0.001);
}

function sizeFacts(si: number, dimension: 'gauge' | 'area', text: string, origin: Origin): Fact[] {
  const conductor = conductorOf({ value: { si, dimension }, origin, text }, false);
  // Sizes that no wire has are reported where they stand; there is nothing to reckon from them.
  if (!(conductor.area > 1e-3 && conductor.area < 1e4)) return [];
  const milliohms = plain(conductor.ohmsPerMetre * 1000);
  return [
    ...(dimension === 'gauge'
      ? fact('area', `${plain(conductor.area)} mm²`)
      : fact('nearest gauge', nearestGauge(conductor.area))),
    ...fact('one copper conductor', `${milliohms} mohm/m at 20 °C`, conductor.source),
  ];
}

/** The gauge whose area is nearest in ratio, for people who think in gauges. */
function nearestGauge(area: number): string {
  let best = 0;
  for (let gauge = 0; gauge <= 40; gauge++) {
    if (Math.abs(Math.log(awgArea(gauge) / area)) < Math.abs(Math.log(awgArea(best) / area))) best = gauge;
  }
  return `${best} AWG (${plain(awgArea(best))} mm²)`;
}
