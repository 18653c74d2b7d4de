import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import type { Range } from '../../model/bound.ts';
import type { BoundStatement } from '../../model/declarations.ts';
import { isFixture, refreshOf } from '../../model/fixtures.ts';
import type { Derating } from '../../model/mains.ts';
import type {
  CablePart,
  ChannelPart,
  Conductor,
  ConnectorPart,
  ControllerPart,
  Named,
  PixelPart,
  SupplyPart,
} from '../../model/plan.ts';
import { amountText } from '../../model/prices.ts';
import type { Setting } from '../../model/setting.ts';
import { amps, count, metres, rating, share, volts, watts } from '../../model/texts.ts';
import { type Card, type Fact, fact } from '../card.ts';
import { controllerDataFacts, pixelDataFacts } from './data-facts.ts';

/** Parts with every value that enters a computation. A value that the plan does not state is called a default, with its source. */

const PRACTICE = 'default, common practice';

type Part = PixelPart | CablePart | ConnectorPart | SupplyPart | ControllerPart;

function partCard(analysis: Analysis, kind: string, part: Part, facts: readonly Fact[]): Card {
  return {
    kind,
    name: part.name,
    label: part.label,
    description: part.description,
    facts: [
      ...facts,
      ...fact('price', priceText(analysis, part)),
      ...fact('source', part.source ?? 'the part does not name one'),
    ],
  };
}

function priceText({ plan }: Analysis, { kind, price }: Part): string | undefined {
  if (price === undefined) return undefined;
  const amount = amountText(price.amount, price.currency);
  if (kind === 'cable') return `${amount} for ${metres(price.pack ?? 1, plan.design.units)}`;
  return price.pack === undefined ? amount : `${amount} for ${price.pack}`;
}

/** Which lines of a part's block are written in the plan. */
function writtenLines(analysis: Analysis, part: Named): ReadonlySet<string> {
  const statement = analysis.statements.find(
    ({ name }) => name?.origin.declaration === part.origin.declaration && name.origin.start === part.origin.start,
  ) as (BoundStatement & { readonly block: readonly { readonly word: string }[] }) | undefined;
  return new Set((statement?.block ?? []).map((line) => line.word));
}

/** A note for values that the plan does not state. */
function unless(written: ReadonlySet<string>, word: string, note = PRACTICE): string | undefined {
  return written.has(word) ? undefined : note;
}

function settingFact<T>(label: string, setting: Setting<T> | undefined, text: (value: T) => string): Fact[] {
  if (setting === undefined) return [];
  return fact(label, text(setting.value), setting.origin === undefined ? `default, ${setting.source}` : undefined);
}

const rangeText = (range: Range) => `${volts(range.from)} to ${volts(range.to)}`;

function conductorFact(label: string, conductor: Conductor | undefined): Fact[] {
  if (conductor === undefined) return [];
  const milliohms = Number((conductor.ohmsPerMetre * 1000).toPrecision(3));
  return fact(
    label,
    conductor.text,
    `${Number(conductor.area.toPrecision(3))} mm², ${milliohms} mohm/m at 20 °C; ${conductor.source}`,
  );
}

function channelText(channel: ChannelPart): string {
  if (channel.kind === 'resistive') return `${amps(channel.amps)} through ${Number(channel.ohms.toPrecision(3))} ohm`;
  return `${amps(channel.amps)} above ${volts(channel.knee)}, dark at ${volts(channel.dark)}`;
}

export function pixelPartCard(analysis: Analysis, part: PixelPart): Card {
  if (isFixture(part)) return fixturePartCard(analysis, part);
  const written = writtenLines(analysis, part);
  const white = part.channels.reduce((sum, channel) => sum + channel.amps, part.idleAmps);
  return partCard(analysis, 'pixel part', part, [
    ...fact('voltage', part.volts === undefined ? undefined : volts(part.volts)),
    ...settingFact('accepts', part.accepts, rangeText),
    ...settingFact('least for true white', part.least, volts),
    ...part.channels.flatMap((channel) =>
      fact(
        channel.colour,
        channelText(channel),
        channel.kind === 'regulated' && part.volts !== undefined && isDefaultKnee(channel, part.volts)
          ? 'knee as by default, 85 % of nominal'
          : undefined,
      ),
    ),
    ...fact(
      'converter',
      part.converter === undefined
        ? undefined
        : `${watts(part.converter.watts)}, shuts down at ${volts(part.converter.lockout)}`,
    ),
    ...fact('idle', amps(part.idleAmps), unless(written, 'idle')),
    ...fact('full white', part.converter === undefined ? amps(white) : undefined, 'one pixel at full brightness'),
    ...conductorFact('wire', part.wire),
    ...fact(
      'joint',
      `${Number((part.jointOhms * 1000).toPrecision(3))} mohm`,
      unless(written, 'joint', 'default: none beyond the wire'),
    ),
    ...settingFact('rated', part.rated, rating),
    ...fact('ends', part.ends?.name, part.ends?.label),
    ...pixelDataFacts(analysis.plan, part),
  ]);
}

/** A panel or a flood: one load behind a cord. */
function fixturePartCard(analysis: Analysis, part: PixelPart): Card {
  const written = writtenLines(analysis, part);
  const lit = part.channels.reduce((sum, channel) => sum + channel.amps, part.idleAmps);
  const colour = part.channels.find((channel) => channel.colour === 'red');
  const first = part.channels.find((channel) => channel.kind === 'regulated');
  const knee =
    first?.kind === 'regulated' ? `held above ${volts(first.knee)}, dark at ${volts(first.dark)}` : undefined;
  const { converter, panel } = part;
  const cord =
    part.wire === undefined ? undefined : `${metres(sure(part.cord), analysis.plan.design.units)} of ${part.wire.text}`;
  return partCard(analysis, `${part.kind} part`, part, [
    ...fact('voltage', part.volts === undefined ? undefined : volts(part.volts)),
    ...settingFact('accepts', part.accepts, rangeText),
    ...settingFact('least for its full light', part.least, volts),
    ...panelFacts(panel),
    ...fact(part.kind === 'panel' ? 'all white' : 'draws', part.channels.length > 0 ? amps(lit) : undefined, knee),
    ...fact(
      'one colour',
      colour === undefined ? undefined : amps(colour.amps),
      'a third of what is beyond idle, common practice',
    ),
    ...fact(
      'power',
      converter === undefined ? undefined : `${watts(converter.watts)}, shuts down at ${volts(converter.lockout)}`,
    ),
    ...fact('idle', amps(part.idleAmps), unless(written, 'idle')),
    ...fact('cord', cord, unless(written, 'cord') ?? part.wire?.source),
    ...fact('plug', part.ends?.name, part.ends?.label),
    ...settingFact('rated', part.rated, rating),
  ]);
}

function panelFacts(panel: PixelPart['panel']): Fact[] {
  const alone = panel === undefined ? undefined : refreshOf([panel]);
  if (panel === undefined || alone === undefined) return [];
  const { rows, columns, turns, bits, rate, shortened, refresh } = panel;
  return [
    ...fact('size', `${rows} rows x ${columns} columns`, `${count(rows * columns, 'pixel')}, three slots each`),
    ...fact('scan', `lit in ${turns} turns`),
    ...fact('data', `${bits} bits at ${rate / 1e6} MHz`, `${shortened} of the planes shortened`),
    ...fact('refresh alone', `${(1 / alone.seconds).toFixed(0)} Hz`, `a chain of n takes n times as long`),
    ...settingFact('least refresh', refresh, (value) => `${value} Hz`),
  ];
}

function isDefaultKnee(channel: Extract<ChannelPart, { kind: 'regulated' }>, nominal: number): boolean {
  return Math.abs(channel.knee - 0.85 * nominal) < 1e-9;
}

export function cablePartCard(analysis: Analysis, part: CablePart): Card {
  const used = new Set<string>();
  for (const feed of analysis.plan.feeds.values())
    for (const piece of feed.pieces) if (piece.kind === 'cable' && piece.cable === part) used.add(feed.name);
  for (const run of analysis.plan.runs.values())
    for (const piece of run.pieces)
      if ((piece.kind === 'lead' || piece.kind === 'gap') && piece.cable === part) used.add(run.name);
  for (const { name, link } of analysis.plan.controllers.values()) if (link?.cable === part) used.add(name);
  for (const board of analysis.plan.boards.values()) if (board.cable === part) used.add(board.name);
  return partCard(analysis, 'cable part', part, [
    ...conductorFact('conductor', part.conductor),
    ...fact('carries', [...part.cores].join(', '), unless(writtenLines(analysis, part), 'carries', 'default')),
    ...settingFact('rated', part.rated, rating),
    ...fact('used by', [...used].slice(0, 16).join(', ') || 'nothing yet'),
  ]);
}

export function connectorPartCard(analysis: Analysis, part: ConnectorPart): Card {
  return partCard(analysis, 'connector part', part, [
    ...fact('rated', part.rated === undefined ? undefined : rating(part.rated)),
    ...fact('contact', `${Number((part.ohms * 1000).toPrecision(3))} mohm`, 'each mated contact'),
  ]);
}

export function supplyPartCard(analysis: Analysis, part: SupplyPart): Card {
  const written = writtenLines(analysis, part);
  return partCard(analysis, 'supply part', part, [
    ...fact('voltage', part.volts === undefined ? undefined : volts(part.volts)),
    ...fact('adjust', part.adjust === undefined ? undefined : rangeText(part.adjust)),
    ...fact('rated', part.rated === undefined ? undefined : rating(part.rated)),
    ...fact('power', part.watts === undefined ? undefined : watts(part.watts)),
    ...fact('droop', `${Number((part.droop * 1000).toPrecision(3))} mohm`, unless(written, 'droop')),
    ...settingFact('efficiency', part.efficiency, share),
    ...settingFact('power factor', part.powerFactor, share),
    ...fact('inrush', part.inrush === undefined ? undefined : rating(part.inrush), 'peak at a cold start'),
    ...fact('leakage', part.leakage === undefined ? undefined : amps(part.leakage), 'to earth'),
    ...fact('derating', part.derating === undefined ? undefined : deratingText(part.derating)),
  ]);
}

function deratingText({ above, share: left, hot }: Derating): string {
  return `whole up to ${Number(above.toFixed(1))} °C, then down to ${share(left)} at ${Number(hot.toFixed(1))} °C`;
}

export function controllerPartCard(analysis: Analysis, part: ControllerPart): Card {
  const written = writtenLines(analysis, part);
  return partCard(analysis, 'controller part', part, [
    ...fact('ports', part.ports === undefined ? undefined : String(part.ports)),
    ...settingFact('pixels per port', part.portPixels, (value) => value.toLocaleString('en')),
    ...fact(
      'port fuse',
      part.portFuse === undefined ? 'none: ports carry data and ground only' : rating(part.portFuse),
    ),
    ...fact('draws', amps(part.draws), unless(written, 'draws')),
    ...fact('accepts', part.accepts === undefined ? undefined : rangeText(part.accepts)),
    ...settingFact('longest link', part.linkLimit, (value) => metres(value, analysis.plan.design.units)),
    ...settingFact('longest lead', part.leadLimit, (value) => metres(value, analysis.plan.design.units)),
    ...controllerDataFacts(part),
  ]);
}
