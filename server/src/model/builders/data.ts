import type { UNIVERSES } from '#grammar/words/data.ts';
import type { PART_CONTROLLER, PART_PIXEL } from '#grammar/words/parts.ts';
import type { RUN } from '#grammar/words/runs.ts';
import type { PLAN } from '#grammar/words/site.ts';
import type { Bound, Fields } from '../bound.ts';
import type { AddressPin, ControllerUniverses, DataDesign, PixelData } from '../data-side.ts';
import type { ControllerPart, PixelPart } from '../plan.ts';
import type { Setting } from '../setting.ts';
import { type Build, type CommonBuild, lineOf, setting, siSetting } from './context.ts';

/** The data side of parts, controllers, runs and the plan, with a default where the plan is silent. */

const PRACTICE = 'common practice';

const standard = <T>(value: T, source: string): Setting<T> => ({ value, origin: undefined, source });

type PixelLines = Bound<typeof PART_PIXEL>['block'];

export function pixelDataOf(
  build: CommonBuild,
  block: PixelLines,
  volts: number | undefined,
): Pick<PixelPart, 'data' | 'slots' | 'gapLimit' | 'logic'> {
  const logic = lineOf(block, 'logic')?.fields;
  const slots =
    setting(lineOf(block, 'slots')?.fields.count) ??
    (lineOf(block, 'white') === undefined
      ? standard(3, 'one for each colour of red, green, blue')
      : standard(4, 'one for each colour of red, green, blue, white'));
  const regulated =
    volts === undefined || volts <= OWN_LOGIC
      ? undefined
      : standard(5, `${PRACTICE}: pixels above 5.5 V regulate their logic to 5 V`);
  return {
    data: lineOf(block, 'dmx') === undefined ? pixelProtocol(block) : dmx(build, block, slots.value),
    slots,
    gapLimit: siSetting(lineOf(block, 'gap-limit')?.fields.length) ?? standard(5, `${PRACTICE}: 3 to 5 m`),
    logic: {
      volts: siSetting(logic?.volts) ?? regulated,
      threshold: siSetting(logic?.threshold) ?? standard(0.7, 'datasheets of the WS2812B and its kin'),
    },
  };
}

/** Up to this nominal voltage a pixel's logic lives on its own supply, V: the range of such datasheets ends there. */
const OWN_LOGIC = 5.5;

function pixelProtocol(block: PixelLines): PixelData {
  const line = lineOf(block, 'data');
  const { bits, rate, reset, clocked, start, end } = line?.fields ?? {};
  const isClocked = clocked !== undefined;
  return {
    protocol: isClocked ? 'clocked' : 'one-wire',
    bits: bits?.value.si ?? 24,
    rate: rate?.value.si ?? 800_000,
    reset: reset?.value.si ?? (isClocked ? 0 : 0.0003),
    start: start?.value.si ?? (isClocked ? 32 : 0),
    end: end?.value.si ?? (isClocked ? 0.5 : 0),
    origin: line?.keyword,
  };
}

/**
 * ANSI E1.11: 250 kbit/s, eleven bits a slot (start, eight of data, two of stop), a start code in front; a break of 92 us
 * and a mark of 12 us behind it are the least that a transmitter may send.
 */
function dmx(build: CommonBuild, block: PixelLines, slots: number): PixelData {
  const line = lineOf(block, 'dmx');
  const other = lineOf(block, 'data');
  if (line !== undefined && other !== undefined) {
    build.report({
      code: 'said-twice',
      origin: line.keyword,
      message: 'This part has a data line and a dmx line. The dmx line holds; take one of the two out.',
      related: [{ origin: other.keyword, message: 'The data line.' }],
    });
  }
  return {
    protocol: 'dmx',
    bits: SLOT_BITS * slots,
    rate: 250_000,
    reset: 104e-6,
    start: SLOT_BITS,
    end: 0,
    origin: line?.keyword,
  };
}

const SLOT_BITS = 11;

export function controllerDataOf(
  block: Bound<typeof PART_CONTROLLER>['block'],
): Pick<ControllerPart, 'drives' | 'universesLimit' | 'network'> {
  return {
    drives: siSetting(lineOf(block, 'drives')?.fields.volts) ?? standard(5, `${PRACTICE}: 5 V buffers`),
    universesLimit: setting(lineOf(block, 'universes')?.fields.count),
    network: siSetting(lineOf(block, 'network')?.fields.speed) ?? standard(100e6, FAST_ETHERNET),
  };
}

const FAST_ETHERNET = 'IEEE 802.3: 100BASE-TX';

export function dataDesignOf(block: Bound<typeof PLAN>['block'] | readonly never[]): DataDesign {
  const network = lineOf(block, 'network')?.fields;
  return {
    network: siSetting(network?.speed) ?? standard(100e6, FAST_ETHERNET),
    networkShare: siSetting(network?.share) ?? standard(0.5, `${PRACTICE}: packets of a frame come in bursts`),
    synchronised: network?.synchronised !== undefined,
    margin:
      siSetting(lineOf(block, 'data-margin')?.fields.volts) ??
      standard(0.4, 'the noise margin of TTL: 2.4 V sent, 2.0 V read'),
  };
}

export function universesOf(fields: Fields<typeof UNIVERSES> | undefined): ControllerUniverses | undefined {
  const first = fields?.first;
  return first === undefined
    ? undefined
    : { first: first.value, firstOrigin: first.origin, split: fields?.split !== undefined };
}

export function pinOf(build: Build, { universe, slot }: Fields<typeof RUN>): AddressPin | undefined {
  if (universe === undefined) {
    if (slot !== undefined) {
      build.report({
        code: 'missing-phrase',
        origin: slot.origin,
        message: `A slot needs its universe: universe 1 slot ${slot.text}.`,
      });
    }
    return undefined;
  }
  return {
    universe: universe.value,
    slot: slot?.value ?? 1,
    universeOrigin: universe.origin,
    slotOrigin: slot?.origin,
  };
}
