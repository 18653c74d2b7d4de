import { sure } from '#grammar/sure.ts';
import type { DERATE } from '#grammar/words/mains.ts';
import type { PART_CABLE, PART_CONNECTOR, PART_CONTROLLER, PART_PIXEL, PART_SUPPLY } from '#grammar/words/parts.ts';
import type { PART_RECEIVER } from '#grammar/words/receivers.ts';
import type { Bound, Given, Measure } from '../bound.ts';
import { conductorOf, ratedByConductor } from '../conductors.ts';
import type { Derating } from '../mains.ts';
import type { ChannelPart, Colour, Conductor, ControllerPart } from '../plan.ts';
import type { Setting } from '../setting.ts';
import { type CommonBuild, lineOf, namedBy, setting, siSetting } from './context.ts';
import { controllerDataOf, pixelDataOf } from './data.ts';
import { priceOf } from './prices.ts';

/** Parts, each with every value that enters a computation and a default where the plan is silent. */

const PRACTICE = 'common practice';

/** The least that the solver takes for a conductor, ohm: an ideal contact is a conductor of that. */
const LEAST_OHMS = 1e-6;

export function addConnector(build: CommonBuild, statement: Bound<typeof PART_CONNECTOR>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  build.connectors.add({
    kind: 'connector',
    ...named,
    rated: lineOf(statement.block, 'rated')?.fields.amps?.value.si,
    ohms: Math.max(lineOf(statement.block, 'contact')?.fields.ohms?.value.si ?? 0, LEAST_OHMS),
    price: priceOf(statement.block),
    source: lineOf(statement.block, 'source')?.fields.text?.value,
  });
}

export function addPixel(build: CommonBuild, statement: Bound<typeof PART_PIXEL>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { block } = statement;
  const volts = lineOf(block, 'voltage')?.fields.volts?.value.si;
  const wireLine = lineOf(block, 'wire')?.fields;
  const wire = wireOf(build, wireLine);
  const converter = lineOf(block, 'converter')?.fields;
  build.pixels.add({
    kind: 'pixel',
    ...named,
    volts,
    accepts:
      setting(lineOf(block, 'accepts')?.fields.range) ??
      (volts === undefined
        ? undefined
        : { value: { from: 0, to: volts * 1.15 }, origin: undefined, source: `${PRACTICE}: 15 % over nominal` }),
    least:
      siSetting(lineOf(block, 'least')?.fields.volts) ??
      (volts === undefined
        ? undefined
        : { value: volts * 0.9, origin: undefined, source: `${PRACTICE}: 90 % of nominal` }),
    channels: channels(build, statement, volts ?? 12),
    converter:
      converter?.watts === undefined || converter.lockout === undefined
        ? undefined
        : { watts: converter.watts.value.si, lockout: converter.lockout.value.si },
    idleAmps: lineOf(block, 'idle')?.fields.amps?.value.si ?? 0.001,
    wire,
    jointOhms: lineOf(block, 'joint')?.fields.ohms?.value.si ?? 0,
    rated: siSetting(lineOf(block, 'rated')?.fields.amps) ?? (wire === undefined ? undefined : ratedByConductor(wire)),
    ends: build.connectors.refer(lineOf(block, 'ends')?.fields.connector),
    ...pixelDataOf(build, block, volts),
    price: priceOf(block),
    source: lineOf(block, 'source')?.fields.text?.value,
  });
}

type PixelLine = Bound<typeof PART_PIXEL>['block'][number];

function isColour(line: PixelLine): line is Extract<PixelLine, { word: Colour }> {
  return COLOURS.has(line.word);
}

const COLOURS: ReadonlySet<string> = new Set<Colour>(['red', 'green', 'blue', 'white', 'chain']);

/** Without a knee or a resistor a colour is taken as regulated down to 85 % of nominal and dark at 80 %. */
function channels(build: CommonBuild, statement: Bound<typeof PART_PIXEL>, volts: number): ChannelPart[] {
  const found: ChannelPart[] = [];
  for (const line of statement.block) {
    if (!isColour(line)) continue;
    const { amps, knee, dark, resistor } = line.fields;
    if (amps === undefined) continue;
    const colour: Colour = line.word;
    if (resistor !== undefined) {
      const forward = volts - amps.value.si * resistor.value.si;
      if (forward < 0) {
        build.report({
          code: 'impossible-value',
          origin: resistor.origin,
          message: `${amps.text} through ${resistor.text} would take ${(amps.value.si * resistor.value.si).toFixed(1)} V, more than the ${volts} V that there are.`,
        });
        continue;
      }
      found.push({ kind: 'resistive', colour, amps: amps.value.si, ohms: resistor.value.si, forward });
      continue;
    }
    const kneeVolts = knee?.value.si ?? 0.85 * volts;
    const darkVolts = dark?.value.si ?? kneeVolts - 0.05 * volts;
    if (darkVolts >= kneeVolts || darkVolts <= 0) {
      build.report({
        code: 'impossible-value',
        // The usual ones are in order.
        origin: sure(dark ?? knee).origin,
        message: 'A colour goes dark at a lower voltage than its knee, and above zero.',
      });
      continue;
    }
    found.push({ kind: 'regulated', colour, amps: amps.value.si, knee: kneeVolts, dark: darkVolts });
  }
  // What was said of a colour but could not be read or used has been reported.
  const silent = !statement.block.some(isColour);
  if (silent && lineOf(statement.block, 'converter') === undefined && statement.name !== undefined) {
    build.report({
      code: 'missing-phrase',
      origin: statement.name.origin,
      message: `This part pixel does not say what it draws. Write red, green and blue, or converter. For example: red 18.5 mA`,
    });
  }
  return found;
}

export function addCable(build: CommonBuild, statement: Bound<typeof PART_CABLE>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const line = lineOf(statement.block, 'conductor')?.fields;
  const conductor = wireOf(build, line);
  build.cables.add({
    kind: 'cable',
    ...named,
    conductor,
    cores: new Set(lineOf(statement.block, 'carries')?.fields.cores?.value ?? ['V+', 'ground', 'data']),
    rated:
      siSetting(lineOf(statement.block, 'rated')?.fields.amps) ??
      (conductor === undefined ? undefined : ratedByConductor(conductor)),
    price: priceOf(statement.block),
    source: lineOf(statement.block, 'source')?.fields.text?.value,
  });
}

/** The conductor that a line describes; a size that no wire has is reported and left out. */
export function wireOf(
  build: CommonBuild,
  line: { readonly size?: Given<Measure>; readonly clad?: Given<true> } | undefined,
): Conductor | undefined {
  if (line?.size === undefined) return undefined;
  const conductor = conductorOf(line.size, line.clad !== undefined);
  if (conductor.area >= THINNEST && conductor.area <= THICKEST) return conductor;
  build.report({
    code: 'impossible-value',
    origin: line.size.origin,
    message: `${line.size.text} cannot be real here: no wire is thinner than 40 AWG or thicker than 120 mm2.`,
  });
  return undefined;
}

/** mm2. 40 AWG is 0.0050 mm2. */
const THINNEST = 0.0049;
const THICKEST = 120;

export function addSupplyPart(build: CommonBuild, statement: Bound<typeof PART_SUPPLY>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { block } = statement;
  const share = (found: Setting<number> | undefined, value: number): Setting<number> =>
    found ?? { value, origin: undefined, source: 'from memory of common sheets' };
  build.supplyParts.add({
    kind: 'supply-part',
    ...named,
    volts: lineOf(block, 'voltage')?.fields.volts?.value.si,
    adjust: lineOf(block, 'adjust')?.fields.range?.value,
    rated: lineOf(block, 'rated')?.fields.amps?.value.si,
    watts: lineOf(block, 'power')?.fields.watts?.value.si,
    droop: lineOf(block, 'droop')?.fields.ohms?.value.si ?? 0.001,
    efficiency: share(siSetting(lineOf(block, 'efficiency')?.fields.share), 0.85),
    powerFactor: share(siSetting(lineOf(block, 'power-factor')?.fields.share), 0.55),
    inrush: lineOf(block, 'inrush')?.fields.amps?.value.si,
    leakage: lineOf(block, 'leakage')?.fields.amps?.value.si,
    derating: deratingOf(build, lineOf(block, 'derate')),
    price: priceOf(block),
    source: lineOf(block, 'source')?.fields.text?.value,
  });
}

/** A line that goes up with warmth, or has no length, is reported and left out. */
function deratingOf(build: CommonBuild, line: Bound<typeof DERATE> | undefined): Derating | undefined {
  const { above, share, hot } = line?.fields ?? {};
  if (above === undefined || share === undefined || hot === undefined) return undefined;
  if (hot.value.si > above.value.si) return { above: above.value.si, share: share.value.si, hot: hot.value.si };
  build.report({
    code: 'impossible-value',
    origin: hot.origin,
    message: `The rating falls from ${above.text} on, so the second temperature is the warmer one: derate above 50 degC  to 60 %  at 70 degC`,
  });
  return undefined;
}

export function addControllerPart(build: CommonBuild, statement: Bound<typeof PART_CONTROLLER>): void {
  const part = controllerPartOf(statement);
  if (part !== undefined) build.controllerParts.add(part);
}

/** What controllers and receivers have in common. */
export function controllerPartOf(
  statement: Bound<typeof PART_CONTROLLER> | Bound<typeof PART_RECEIVER>,
): ControllerPart | undefined {
  const named = namedBy(statement);
  if (named === undefined) return undefined;
  // The line that only receivers have is read by their own builder.
  const block = statement.block as Bound<typeof PART_CONTROLLER>['block'];
  return {
    kind: 'controller-part',
    ...named,
    ports: lineOf(block, 'ports')?.fields.count?.value,
    portPixels: siSetting(lineOf(block, 'port-pixels')?.fields.count),
    portFuse: lineOf(block, 'port-fuse')?.fields.amps?.value.si,
    draws: lineOf(block, 'draws')?.fields.amps?.value.si ?? 0.3,
    accepts: lineOf(block, 'accepts')?.fields.range?.value,
    leadLimit: siSetting(lineOf(block, 'lead-limit')?.fields.length) ?? {
      value: 10,
      origin: undefined,
      source: `${PRACTICE}: raw data reaches 5 to 10 m`,
    },
    ...controllerDataOf(block),
    price: priceOf(block),
    source: lineOf(block, 'source')?.fields.text?.value,
  };
}
