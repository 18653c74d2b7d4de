import { sure } from '#grammar/sure.ts';
import type { PART_FLOOD, PART_PANEL } from '#grammar/words/fixtures.ts';
import type { Bound, Given, Measure } from '../bound.ts';
import { conductorOf, ratedByConductor } from '../conductors.ts';
import type { PanelFacts } from '../panel-facts.ts';
import type { ChannelPart, Colour, PixelPart } from '../plan.ts';
import { type CommonBuild, lineOf, namedBy, setting, siSetting } from './context.ts';
import { wireOf } from './parts.ts';
import { priceOf } from './prices.ts';

/** Panels and floods, with every value that enters a computation and a default where the plan is silent. */

const PRACTICE = 'common practice';

/** A cord as it comes with most panels and small floods (common practice). */
const CORD_METRES = 0.3;
const CORD_GAUGE = 18;

/** Below this rate people see flicker, and cameras see bars (common practice). */
const LEAST_REFRESH = 100;

export function addPanel(build: CommonBuild, statement: Bound<typeof PART_PANEL>): void {
  const shared = sharedOf(build, statement);
  if (shared === undefined) return;
  const { part, draws } = shared;
  // A third of the light is red, a third green, a third blue (common practice).
  const each = draws === undefined ? undefined : Math.max(0, draws.amps - part.idleAmps) / 3;
  const colours: readonly Colour[] = ['red', 'green', 'blue'];
  build.panels.add({
    ...part,
    kind: 'panel',
    channels: draws === undefined || each === undefined ? [] : colours.map((colour) => channelOf(colour, each, draws)),
    panel: panelFacts(build, statement),
  });
}

function panelFacts(build: CommonBuild, statement: Bound<typeof PART_PANEL>): PanelFacts | undefined {
  const { block } = statement;
  const size = lineOf(block, 'size')?.fields;
  const scan = lineOf(block, 'scan')?.fields.turns;
  const data = lineOf(block, 'data')?.fields;
  if (size?.rows === undefined || size.columns === undefined || scan === undefined) return undefined;
  if (data?.bits === undefined || data.rate === undefined) return undefined;
  const rows = size.rows.value.si;
  const columns = size.columns.value.si;
  const bits = data.bits.value.si;
  const shortened = data.shortened?.value ?? 0;
  const impossible = (origin: Given<unknown>, message: string) => {
    build.report({ code: 'impossible-value', origin: origin.origin, message });
    return undefined;
  };
  if (!Number.isInteger(bits)) return impossible(data.bits, 'The bits for a colour are counted in whole numbers.');
  if (rows % (2 * scan.value) !== 0) {
    return impossible(
      scan,
      `${rows} rows cannot be lit in ${scan.value} turns: the two halves of a panel are lit beside each other, so twice the turns must divide the rows. ${rows} rows are mostly lit in ${rows / 2} turns: scan ${rows / 2}`,
    );
  }
  if (shortened >= bits && data.shortened !== undefined)
    return impossible(data.shortened, `At least one of the ${bits} bit planes is shown in full: shorten fewer.`);
  return {
    rows,
    columns,
    turns: scan.value,
    bits,
    rate: data.rate.value.si,
    shortened,
    refresh: siSetting(lineOf(block, 'refresh')?.fields.rate) ?? {
      value: LEAST_REFRESH,
      origin: undefined,
      source: `${PRACTICE}: below it people see flicker`,
    },
  };
}

export function addFloodPart(build: CommonBuild, statement: Bound<typeof PART_FLOOD>): void {
  const shared = sharedOf(build, statement);
  if (shared === undefined) return;
  const { part, draws } = shared;
  const power = lineOf(statement.block, 'power')?.fields;
  const says = statement.block.some((line) => line.word === 'power' || line.word === 'draws');
  if (!says) {
    build.report({
      code: 'missing-phrase',
      origin: part.origin,
      message: 'This part flood does not say what it draws. Write for example: power 30 W  lockout 18 V',
    });
  }
  build.floods.add({
    ...part,
    kind: 'flood',
    // One white light: lit at every look, as one current through all colours is.
    channels: draws === undefined ? [] : [channelOf('chain', Math.max(0, draws.amps - part.idleAmps), draws)],
    converter:
      power?.watts === undefined || power.lockout === undefined
        ? undefined
        : { watts: power.watts.value.si, lockout: power.lockout.value.si },
  });
}

interface Draws {
  readonly amps: number;
  readonly knee: number;
  readonly dark: number;
}

function channelOf(colour: Colour, amps: number, { knee, dark }: Draws): ChannelPart {
  return { kind: 'regulated', colour, amps, knee, dark };
}

/** What panels and floods have in common. */
function sharedOf(
  build: CommonBuild,
  statement: Bound<typeof PART_PANEL> | Bound<typeof PART_FLOOD>,
): { part: PixelPart & { readonly cord: number }; draws: Draws | undefined } | undefined {
  const named = namedBy(statement);
  if (named === undefined) return undefined;
  const block = statement.block as Bound<typeof PART_FLOOD>['block'];
  const volts = lineOf(block, 'voltage')?.fields.volts?.value.si;
  const standard = (value: number, source: string) => ({ value, origin: undefined, source: `${PRACTICE}: ${source}` });
  const cord = lineOf(block, 'cord')?.fields;
  const usual: Given<Measure> = {
    value: { si: CORD_GAUGE, dimension: 'gauge' },
    text: `${CORD_GAUGE} AWG`,
    origin: named.origin,
  };
  const wire = cord === undefined ? conductorOf(usual, false) : wireOf(build, cord);
  const part: PixelPart & { readonly cord: number } = {
    kind: 'pixel',
    ...named,
    volts,
    accepts:
      setting(lineOf(block, 'accepts')?.fields.range) ??
      (volts === undefined ? undefined : { ...standard(0, '15 % over nominal'), value: { from: 0, to: volts * 1.15 } }),
    least:
      siSetting(lineOf(block, 'least')?.fields.volts) ??
      (volts === undefined ? undefined : standard(volts * 0.9, '90 % of nominal')),
    channels: [],
    converter: undefined,
    idleAmps: lineOf(block, 'idle')?.fields.amps?.value.si ?? 0.001,
    wire,
    cord: cord?.length?.value.si ?? CORD_METRES,
    jointOhms: 0,
    rated: siSetting(lineOf(block, 'rated')?.fields.amps) ?? (wire === undefined ? undefined : ratedByConductor(wire)),
    ends: build.connectors.refer(lineOf(block, 'plug')?.fields.connector),
    // A ribbon has a clock of its own; what a panel takes on it stands in `panel`.
    data: { protocol: 'clocked', bits: 0, rate: 1, reset: 0, start: 0, end: 0, origin: undefined },
    slots: standard(3, 'red, green and blue'),
    gapLimit: standard(1, 'ribbons up to about a metre'),
    logic: { volts: undefined, threshold: standard(0.7, 'a one is 70 % of the supply') },
    price: priceOf(block),
    source: lineOf(block, 'source')?.fields.text?.value,
  };
  return { part, draws: drawsOf(build, block, volts ?? 12) };
}

function drawsOf(build: CommonBuild, block: Bound<typeof PART_FLOOD>['block'], volts: number): Draws | undefined {
  const line = lineOf(block, 'draws');
  if (line?.fields.amps === undefined) return undefined;
  const knee = line.fields.knee?.value.si ?? 0.85 * volts;
  const dark = line.fields.dark?.value.si ?? knee - 0.05 * volts;
  if (dark >= knee || dark <= 0) {
    build.report({
      code: 'impossible-value',
      origin: sure(line.fields.dark ?? line.fields.knee).origin,
      message: 'It goes dark at a lower voltage than its knee, and above zero.',
    });
    return undefined;
  }
  return { amps: line.fields.amps.value.si, knee, dark };
}
