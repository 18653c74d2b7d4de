import type { CABLE_PRICE, CONNECTOR_PRICE, PIXEL_PRICE, PRICE, SPARES } from '#grammar/words/prices.ts';
import type { Bound, Given, Measure } from '../bound.ts';
import type { Price } from '../prices.ts';
import type { Spares } from '../spares.ts';
import { setting, siSetting } from './context.ts';

type PriceLine =
  | Bound<typeof PRICE>
  | Bound<typeof PIXEL_PRICE>
  | Bound<typeof CABLE_PRICE>
  | Bound<typeof CONNECTOR_PRICE>;

/** What the price line of a part says; undefined where there is none, or where it lacks amount, currency or a readable pack. */
export function priceOf(block: readonly { readonly word: string }[]): Price | undefined {
  const line = block.find((each): each is PriceLine => each.word === 'price');
  const { amount, currency, pack } = line?.fields ?? {};
  if (line === undefined || amount === undefined || currency === undefined) return undefined;
  // A pack that could not be read has been reported; without it the price would be that of one piece.
  if (pack === undefined && line.said.has('pack')) return undefined;
  return { amount: amount.value, currency: currency.value, pack: packOf(pack) };
}

function packOf(pack: Given<number> | Given<Measure> | undefined): number | undefined {
  if (pack === undefined) return undefined;
  return typeof pack.value === 'number' ? pack.value : pack.value.si;
}

const PRACTICE = 'common practice';

export function sparesOf(line: Bound<typeof SPARES> | undefined): Spares {
  const { pixels, connectors, cable, devices, fuses } = line?.fields ?? {};
  const standard = (value: number, source = PRACTICE) => ({ value, origin: undefined, source });
  return {
    pixels: siSetting(pixels) ?? standard(0.05),
    connectors: siSetting(connectors) ?? standard(0.05),
    cable: siSetting(cable) ?? standard(0, 'slack at both ends is in the lengths already'),
    devices: setting(devices) ?? standard(1),
    fuses: setting(fuses) ?? standard(2),
  };
}
