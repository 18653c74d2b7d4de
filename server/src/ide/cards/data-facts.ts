import type { RunAccount } from '../../model/account.ts';
import { addressText } from '../../model/address-text.ts';
import { addressesOf, addressOfPixel } from '../../model/addresses.ts';
import { type DataMargin, dataMargins } from '../../model/data-margin.ts';
import type { Intervals } from '../../model/intervals.ts';
import { networkLoads, universesOf } from '../../model/network-load.ts';
import type { Controller, ControllerPart, PixelPart, Plan, Run } from '../../model/plan.ts';
import type { Setting } from '../../model/setting.ts';
import { bitRate, count, grouped, metres, share, volts } from '../../model/texts.ts';
import { type Fact, fact } from '../card.ts';

/** What the data side says of runs, pixels, controllers and their parts. */

export function addressFact(plan: Plan, run: Run): Fact[] {
  const address = addressesOf(plan).get(run);
  if (address === undefined) return [];
  return fact('addresses', addressText(address), address.isPinned ? 'pinned' : 'automatic, in the order of the plan');
}

export function pixelAddressFact(plan: Plan, run: Run, pixel: number): Fact[] {
  const address = addressesOf(plan).get(run);
  const at = address === undefined ? undefined : addressOfPixel(address, pixel);
  if (address === undefined) return [];
  return fact(
    'address',
    at === undefined ? 'none' : `universe ${grouped(at.universe)} slot ${at.slot}`,
    at === undefined ? 'a dark pixel has no address' : undefined,
  );
}

/** The margin at the first pixel, and where it is less behind a gap, that one too. */
export function marginFacts(plan: Plan, account: RunAccount): Fact[] {
  const margins = dataMargins(account);
  const first = margins.find(({ sender }) => sender === 0);
  const least = margins.reduce<DataMargin | undefined>(
    (a, b) => (a === undefined || b.margin < a.margin ? b : a),
    undefined,
  );
  return [
    ...marginFact(plan, 'data margin', first),
    ...(least === undefined || least === first ? [] : marginFact(plan, 'least data margin', least)),
  ];
}

function marginFact(plan: Plan, label: string, found: DataMargin | undefined): Fact[] {
  if (found === undefined) return [];
  const { margin: limit } = plan.design.data;
  const { threshold } = found.piece.part.logic;
  const from = limit.origin === undefined ? `, default, ${limit.source}` : '';
  return fact(
    label,
    `${volts(found.margin)} at pixel ${found.pixel}`,
    `${volts(found.drive)} from ${found.sender === 0 ? 'the port' : `pixel ${found.sender}`}, read as a one above ${volts(found.threshold)} (${share(threshold.value)}); at least ${volts(limit.value)} should be left${from}`,
  );
}

export function networkFacts(plan: Plan, controller: Controller): Fact[] {
  const load = networkLoads(plan).get(controller);
  if (load === undefined) return [];
  const limit = controller.part?.universesLimit;
  const link = controller.part?.network;
  return [
    ...fact(
      'universes',
      universesText(universesOf(plan, controller)),
      limit === undefined ? undefined : `${load.universes} of ${limit.value} that it receives`,
    ),
    ...fact(
      'network',
      `${bitRate(load.bitsPerSecond)} in ${count(Math.round(load.packetsPerSecond), 'packet')} a second`,
      link === undefined
        ? undefined
        : `${Number(((load.bitsPerSecond / link.value) * 100).toPrecision(2))} % of ${[bitRate(link.value), because(link)].filter(Boolean).join(', ')}`,
    ),
  ];
}

const MOST_RANGES = 8;

/** "1 to 3, 7" */
function universesText({ stretches }: Intervals): string {
  const texts = stretches
    .slice(0, MOST_RANGES)
    .map(({ from, to }) => (to - from === 1 ? `${from}` : `${from} to ${to - 1}`));
  return `${texts.join(', ')}${stretches.length > MOST_RANGES ? ', …' : ''}`;
}

export function pixelDataFacts(plan: Plan, { data, slots, gapLimit, logic }: PixelPart): Fact[] {
  const ends = [
    ...(data.reset === 0 ? [] : [`pause ${Math.round(data.reset * 1e6)} us`]),
    ...(data.start === 0 ? [] : [`start ${data.start} bits`]),
    ...(data.end === 0 ? [] : [`end ${data.end} bits a pixel`]),
  ];
  const how = data.protocol === 'dmx' ? 'DMX512-A, ' : data.protocol === 'clocked' ? 'clocked, ' : '';
  return [
    ...fact(
      'data',
      `${how}${[`${data.bits} bits at ${data.rate / 1000} kHz`, ...ends].join(', ')}`,
      data.origin === undefined ? 'default, common practice' : undefined,
    ),
    ...fact('time on the wire', `${Number(((data.bits / data.rate) * 1e6).toPrecision(4))} us`, 'each pixel'),
    ...fact('slots', String(slots.value), because(slots)),
    ...(data.protocol === 'dmx'
      ? []
      : [
          ...fact('longest gap', metres(gapLimit.value, plan.design.units), because(gapLimit)),
          ...fact(
            'logic',
            logic.volts === undefined ? 'on its own supply' : volts(logic.volts.value),
            logic.volts === undefined ? undefined : because(logic.volts),
          ),
          ...fact('reads a one above', share(logic.threshold.value), because(logic.threshold)),
        ]),
  ];
}

export function controllerDataFacts({ drives, universesLimit, network }: ControllerPart): Fact[] {
  return [
    ...fact('drives', volts(drives.value), because(drives)),
    ...fact('network', bitRate(network.value), because(network)),
    ...fact('universes', universesLimit === undefined ? undefined : String(universesLimit.value)),
  ];
}

/** Why a value holds that the plan does not state. */
function because({ origin, source }: Setting<unknown>): string | undefined {
  return origin === undefined ? `default, ${source}` : undefined;
}
