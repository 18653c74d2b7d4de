import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../analysis/analysis.ts';
import type { Origin } from '../model/finding.ts';
import { groupBy } from '../model/group-by.ts';
import type { Circuit, Controller, Feed, Run, Supply } from '../model/plan.ts';
import { amps, count } from '../model/texts.ts';
import { type FileSpan, fileIn, spanOf } from './file-span.ts';
import { type Thing, thingAt } from './names.ts';
import { tokenAt } from './token-at.ts';

/** What takes part in the way of the power: circuit → supply → feed or controller → run. */
export type PowerThing = Circuit | Supply | Controller | Feed | Run;

export interface PowerItem {
  readonly kind: PowerThing['kind'];
  readonly name: string;
  /** Its load, where it is computed. */
  readonly detail: string;
  readonly at: FileSpan;
  readonly whole: FileSpan;
}

/** A neighbour on the way of the power, and where the line between the two is written. */
export interface PowerLink {
  readonly item: PowerItem;
  readonly places: readonly FileSpan[];
}

export function powerItemAt(analysis: Analysis, uri: string, offset: number): PowerItem | undefined {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, offset);
  const thing = token === undefined ? undefined : powerThing(analysis, thingAt(analysis, token));
  return thing === undefined ? undefined : itemOf(analysis, thing);
}

/** Who supplies what goes by this kind and name. */
export function suppliersOf(analysis: Analysis, kind: string, name: string): PowerLink[] {
  const thing = find(analysis, kind, name);
  if (thing === undefined) return [];
  return linksOf(analysis, edgesOf(analysis).above.get(thing) ?? [], (edge) => edge.from);
}

/** Who is supplied by it. */
export function suppliedBy(analysis: Analysis, kind: string, name: string): PowerLink[] {
  const thing = find(analysis, kind, name);
  if (thing === undefined) return [];
  return linksOf(analysis, edgesOf(analysis).below.get(thing) ?? [], (edge) => edge.to);
}

interface Edge {
  readonly from: PowerThing;
  readonly to: PowerThing;
  /** The words that say so. */
  readonly origin: Origin | undefined;
}

/** By the thing that is supplied, and by the one that supplies. */
interface Edges {
  readonly above: ReadonlyMap<PowerThing, readonly Edge[]>;
  readonly below: ReadonlyMap<PowerThing, readonly Edge[]>;
}

/** Lenses ask for each supply and run of a plan. */
const kept = new WeakMap<Analysis, Edges>();

function edgesOf(analysis: Analysis): Edges {
  let edges = kept.get(analysis);
  if (edges === undefined) {
    const all = allEdges(analysis);
    edges = { above: groupBy(all, ({ to }) => to), below: groupBy(all, ({ from }) => from) };
    kept.set(analysis, edges);
  }
  return edges;
}

function allEdges({ plan }: Analysis): Edge[] {
  const edges: Edge[] = [];
  for (const supply of plan.supplies.values())
    if (supply.circuit !== undefined) edges.push({ from: supply.circuit, to: supply, origin: supply.origin });
  for (const controller of plan.controllers.values())
    if (controller.from !== undefined)
      edges.push({ from: controller.from.supply, to: controller, origin: controller.fromOrigin });
  for (const feed of plan.feeds.values()) {
    if (feed.from !== undefined) edges.push({ from: feed.from.supply, to: feed, origin: feed.fromOrigin });
    for (const piece of feed.pieces)
      if (piece.kind === 'tap') edges.push({ from: feed, to: piece.tap.run, origin: piece.tap.origin });
  }
  for (const run of plan.runs.values())
    if (run.controller !== undefined) edges.push({ from: run.controller, to: run, origin: run.portOrigin });
  return edges;
}

function linksOf(analysis: Analysis, edges: readonly Edge[], end: (edge: Edge) => PowerThing): PowerLink[] {
  const links = new Map<PowerThing, { item: PowerItem; places: FileSpan[] }>();
  for (const edge of edges) {
    const thing = end(edge);
    const item = links.get(thing)?.item ?? itemOf(analysis, thing);
    if (item === undefined) continue;
    const link = links.get(thing) ?? { item, places: [] };
    const place = spanOf(analysis, sure(edge.origin));
    if (place !== undefined) link.places.push(place);
    links.set(thing, link);
  }
  return [...links.values()];
}

function find({ plan }: Analysis, kind: string, name: string): PowerThing | undefined {
  switch (kind) {
    case 'circuit':
      return plan.circuits.get(name);
    case 'supply':
      return plan.supplies.get(name);
    case 'controller':
      return plan.controllers.get(name);
    case 'feed':
      return plan.feeds.get(name);
    case 'run':
      return plan.runs.get(name);
    default:
      return undefined;
  }
}

function powerThing({ plan }: Analysis, thing: Thing | undefined): PowerThing | undefined {
  switch (thing?.kind) {
    case 'circuit':
    case 'supply':
    case 'controller':
    case 'feed':
    case 'run':
      return thing;
    case 'output':
      return thing.output.supply;
    case 'element':
      return thing.owner.kind === 'run' ? plan.runs.get(thing.owner.name) : undefined;
    default:
      return undefined;
  }
}

function itemOf(analysis: Analysis, thing: PowerThing): PowerItem | undefined {
  const [at, whole] = [spanOf(analysis, thing.origin), spanOf(analysis, thing.whole)];
  if (at === undefined || whole === undefined) return undefined;
  return { kind: thing.kind, name: thing.name, detail: detailOf(analysis, thing), at, whole };
}

function detailOf({ account }: Analysis, thing: PowerThing): string {
  const load = (value: number | undefined) => (value === undefined ? [] : [amps(value)]);
  switch (thing.kind) {
    case 'supply':
      return [thing.kind, ...load(account.supplies.get(thing)?.amps)].join(', ');
    case 'feed':
      return [thing.kind, ...load(account.feeds.get(thing)?.amps)].join(', ');
    case 'run':
      return [thing.kind, count(thing.pixelCount, 'pixel'), ...load(account.runs.get(thing)?.amps)].join(', ');
    default:
      return thing.kind;
  }
}
