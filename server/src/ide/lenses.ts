import type { Analysis } from '../analysis/analysis.ts';
import type { Origin } from '../model/finding.ts';
import { usersOf } from '../model/outputs.ts';
import type { Supply } from '../model/plan.ts';
import { amps, count, watts } from '../model/texts.ts';
import { suppliedBy, suppliersOf } from './feed-hierarchy.ts';
import { type FileSpan, spanOf } from './file-span.ts';
import { namesOf } from './names.ts';

/**
 * A line of text above a declaration that tells how it hangs together with others, and leads there. Volts and amps of a
 * single line stand beside it as inlay hints; here stands what no line says: totals, and who is joined to whom.
 */
export interface Lens {
  readonly start: number;
  readonly end: number;
  readonly title: string;
  /** Where a click leads; none where there is nowhere to go. */
  readonly places: readonly FileSpan[];
}

/** The lenses of a file in the order of its text. */
export function lensesOf(analysis: Analysis, uri: string): Lens[] {
  const { plan } = analysis;
  const lenses: Lens[] = [];
  const add = (origin: Origin | undefined, title: string, places: readonly FileSpan[] = []) => {
    const span = origin?.uri === uri ? spanOf(analysis, origin) : undefined;
    if (span !== undefined && title !== '') lenses.push({ start: span.start, end: span.end, title, places });
  };
  add(plan.design.titleOrigin, totals(analysis));
  for (const supply of plan.supplies.values()) {
    const below = suppliedBy(analysis, 'supply', supply.name);
    const names = below.map(({ item }) => item.name);
    const users = names.length === 0 ? 'feeds nothing yet' : `feeds ${listed(names)}`;
    add(supply.origin, `${users}${freeOutputs(analysis, supply)}`, placesOf(below));
  }
  for (const run of plan.runs.values()) {
    const above = suppliersOf(analysis, 'run', run.name);
    const by = (kind: string) => above.flatMap(({ item }) => (item.kind === kind ? [item.name] : []));
    const [boards, feeds] = [by('controller'), by('feed')];
    const driven = boards.length === 0 ? 'driven by nothing yet' : `driven by ${listed(boards)}`;
    add(run.origin, feeds.length === 0 ? driven : `${driven} · fed by ${listed(feeds)}`, placesOf(above));
  }
  for (const thing of [
    ...plan.props.values(),
    ...plan.pixels.values(),
    ...plan.cables.values(),
    ...plan.connectors.values(),
    ...plan.supplyParts.values(),
    ...plan.controllerParts.values(),
  ]) {
    if (thing.origin.uri !== uri) continue;
    const uses = namesOf(analysis).usesOf(thing.origin);
    const places = uses.flatMap((use) => spanOf(analysis, use) ?? []);
    add(
      thing.origin,
      uses.length === 0 ? 'not used' : `used ${uses.length === 1 ? 'once' : `${uses.length} times`}`,
      places,
    );
  }
  return lenses.sort((a, b) => a.start - b.start);
}

function totals({ plan, account }: Analysis): string {
  const supplies = [...account.supplies.values()].filter(({ watts }) => Number.isFinite(watts));
  if (plan.supplies.size === 0) return '';
  const pixels = [...plan.runs.values()].reduce((sum, run) => sum + run.pixelCount, 0);
  const power = supplies.reduce((sum, supply) => sum + supply.watts, 0);
  return [
    count(pixels, 'pixel'),
    count(plan.runs.size, 'run'),
    count(plan.feeds.size, 'feed'),
    count(plan.supplies.size, 'supply', 'supplies'),
    ...(supplies.length === 0 ? [] : [`${watts(power)} from the supplies`]),
  ].join(' · ');
}

function freeOutputs({ plan, account }: Analysis, supply: Supply): string {
  const outputs = [...supply.outputs.values()];
  if (outputs.length === 0) return '';
  const free = outputs.filter((output) => usersOf(plan, output).length === 0);
  const rated = supply.part?.rated;
  const load = account.supplies.get(supply);
  const spare =
    rated === undefined || load === undefined ? undefined : rated * plan.design.supplyShare.value - load.amps;
  const room =
    spare === undefined || !Number.isFinite(spare)
      ? ''
      : spare > 0
        ? ` · ${amps(spare)} to spare`
        : ' · nothing to spare';
  return ` · ${free.length} of ${count(outputs.length, 'output')} free${room}`;
}

const MOST_NAMES = 4;

function listed(names: readonly string[]): string {
  const more = names.length - MOST_NAMES;
  return names.slice(0, more > 0 ? MOST_NAMES : names.length).join(', ') + (more > 0 ? ` and ${more} more` : '');
}

function placesOf(links: readonly { readonly item: { readonly at: FileSpan } }[]): FileSpan[] {
  return links.map(({ item }) => item.at);
}
