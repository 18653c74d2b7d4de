import type { Analysis } from '../analysis/analysis.ts';
import type { Origin } from '../model/finding.ts';
import { usersByOutput } from '../model/outputs.ts';
import { count, watts } from '../model/texts.ts';
import { suppliedBy, suppliersOf } from './feed-hierarchy.ts';
import { freeText, joined, listed, pixelsOfAll, spareText, wattsOf } from './figures.ts';
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
  const usersOf = usersByOutput(plan);
  const add = (origin: Origin | undefined, title: string, places: readonly FileSpan[] = []) => {
    const span = origin?.uri === uri ? spanOf(analysis, origin) : undefined;
    if (span !== undefined && title !== '') lenses.push({ start: span.start, end: span.end, title, places });
  };
  add(plan.design.titleOrigin, totals(analysis));
  for (const supply of plan.supplies.values()) {
    const below = suppliedBy(analysis, 'supply', supply.name);
    const names = below.map(({ item }) => item.name);
    const users = names.length === 0 ? 'feeds nothing yet' : `feeds ${listed(names)}`;
    const free = freeText(supply, usersOf);
    const room = free === undefined ? undefined : spareText(analysis, supply);
    add(supply.origin, joined(users, free, room), placesOf(below));
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
  if (plan.supplies.size === 0) return '';
  const power = wattsOf(account);
  return joined(
    count(pixelsOfAll(plan), 'pixel'),
    count(plan.runs.size, 'run'),
    count(plan.feeds.size, 'feed'),
    count(plan.supplies.size, 'supply', 'supplies'),
    power === undefined ? undefined : `${watts(power)} from the supplies`,
  );
}

function placesOf(links: readonly { readonly item: { readonly at: FileSpan } }[]): FileSpan[] {
  return links.map(({ item }) => item.at);
}
