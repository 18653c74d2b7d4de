import type { Analysis } from '../../analysis/analysis.ts';
import { cablesOn } from '../../checks/route-crowded.ts';
import { sizeText, unitOf } from '../../model/fixtures.ts';
import { outputText } from '../../model/outputs.ts';
import type { Controller, Place, Plan, Prop, Route, Run } from '../../model/plan.ts';
import { amps, count, metres, rating, share, volts } from '../../model/texts.ts';
import { type Card, type Fact, fact } from '../card.ts';
import type { Element } from '../names.ts';
import { conditions, whyUnsolved } from './conditions.ts';
import { networkFacts } from './data-facts.ts';
import { outputUse } from './power-cards.ts';

/** Places, routes, controllers and their ports, props and the lines of runs. */

const MOST_LISTED = 16;

export function placeCard(analysis: Analysis, place: Place): Card {
  const { plan } = analysis;
  const here = <T extends { readonly name: string; readonly place: Place | undefined }>(
    things: ReadonlyMap<string, T>,
  ) =>
    [...things.values()]
      .filter((thing) => thing.place === place)
      .map((thing) => thing.name)
      .slice(0, MOST_LISTED)
      .join(', ') || undefined;
  return {
    kind: 'place',
    name: place.name,
    label: place.label,
    description: place.description,
    facts: [
      ...fact('supplies', here(plan.supplies)),
      ...fact('controllers', here(plan.controllers)),
      ...fact('runs', here(plan.runs)),
      ...fact('circuits', here(plan.circuits)),
      ...plan.routes
        .filter((route) => route.from === place || route.to === place)
        .slice(0, MOST_LISTED)
        .flatMap((route) =>
          fact(
            `route to ${(route.from === place ? route.to : route.from).name}`,
            metres(route.length, plan.design.units),
            cablesText(plan, route),
          ),
        ),
    ],
  };
}

export function routeCard(analysis: Analysis, route: Route): Card {
  const passing = cablesOn(analysis.plan, route);
  const copper = passing.reduce((sum, cable) => sum + cable.copper, 0);
  return {
    kind: 'route',
    label: `${route.from.name} to ${route.to.name}`,
    facts: [
      ...fact('length', metres(route.length, analysis.plan.design.units)),
      ...fact('cables', cablesText(analysis.plan, route)),
      ...fact('last year', route.before === undefined ? undefined : count(route.before.cables, 'cable')),
      ...fact('copper', copper === 0 ? undefined : `${copper.toFixed(1)} mm²`, 'all cores of all cables together'),
      ...fact(
        'they are',
        passing
          .slice(0, MOST_LISTED)
          .map((cable) => `${cable.name}${cable.count > 1 ? ` (${cable.count})` : ''}`)
          .join(', ') || undefined,
      ),
    ],
  };
}

export function cablesText(plan: Plan, route: Route, lastYear = 'last year'): string {
  const sum = cablesOn(plan, route).reduce((total, cable) => total + cable.count, 0);
  const now = route.most === undefined ? count(sum, 'cable') : `${sum} of ${count(route.most, 'cable')}`;
  return route.before === undefined ? now : `${now}, ${lastYear} ${route.before.cables}`;
}

export function controllerCard(analysis: Analysis, controller: Controller): Card {
  const { plan, account } = analysis;
  const runs = [...plan.runs.values()].filter((run) => run.controller === controller);
  const solved = account.islands.find(({ island }) => island.controllers.includes(controller));
  const from = controller.from;
  const ports = controller.part?.ports;
  return {
    kind: controller.isReceiver ? 'receiver' : 'controller',
    name: controller.name,
    label: controller.label,
    description: controller.description,
    facts: [
      ...fact('part', controller.part?.name, controller.part?.label),
      ...fact('stands at', controller.place?.name, controller.place?.label),
      ...fact(
        'powered from',
        from === undefined ? undefined : outputText(from),
        from === undefined ? undefined : outputUse(analysis, from),
      ),
      ...linkFacts(plan, controller),
      ...fact(
        'ports',
        ports === undefined ? undefined : `${new Set(runs.map((run) => run.port)).size} of ${ports} in use`,
      ),
      ...networkFacts(plan, controller),
      ...runs.slice(0, MOST_LISTED).flatMap((run) => portFact(analysis, run)),
    ],
    notes: [
      solved?.outcome.status === 'solved'
        ? conditions(plan)
        : whyUnsolved(analysis, ({ island }) => island.controllers.includes(controller)),
    ],
  };
}

function linkFacts(plan: Plan, { link, part }: Controller): Fact[] {
  if (link === undefined) return [];
  const last = link.firstPort + (part?.ports ?? 1) - 1;
  return [
    ...fact(
      'data from',
      `${link.source.name}.${link.firstPort} to ${last}`,
      link.from.isReceiver ? `through ${link.from.name}` : undefined,
    ),
    ...fact('link', `${metres(link.length, plan.design.units)} of ${link.cable.name}`),
  ];
}

function portFact(analysis: Analysis, run: Run): Fact[] {
  const through = analysis.account.runs.get(run)?.portAmps;
  const fuse = run.controller?.part?.portFuse;
  const passes =
    through === undefined || fuse === undefined
      ? undefined
      : `${amps(through)}, ${share(through / fuse)} of its ${rating(fuse)} fuse`;
  return fact(`port ${run.port ?? '?'}`, `${run.name}, ${sizeText(run)}`, passes);
}

export function portCard(analysis: Analysis, controller: Controller, port: number): Card {
  const { part } = controller;
  const runs = [...analysis.plan.runs.values()].filter((run) => run.controller === controller && run.port === port);
  return {
    kind: 'port',
    name: `${controller.name}.${port}`,
    facts: [
      ...fact('drives', runs.map((run) => run.name).join(', ') || 'nothing yet'),
      ...runs.slice(0, 1).flatMap((run) => portFact(analysis, run)),
      ...fact('fuse', part?.portFuse === undefined ? 'none: data and ground only' : rating(part.portFuse)),
      ...fact('most pixels', part?.portPixels === undefined ? undefined : String(part.portPixels.value)),
    ],
  };
}

export function propCard(analysis: Analysis, prop: Prop): Card {
  let pixels = 0;
  for (const line of prop.lines) if (line.kind === 'string') pixels += line.strands * line.perStrand;
  const used = new Map<string, Set<string>>();
  for (const run of analysis.plan.runs.values()) {
    for (const piece of run.pieces) {
      if (piece.kind !== 'string' || piece.copies === undefined || !prop.lines.includes(piece.line)) continue;
      const copies = used.get(run.name) ?? new Set();
      used.set(run.name, copies.add(`${piece.copies.name}(${piece.copies.number})`));
    }
  }
  return {
    kind: 'prop',
    name: prop.name,
    label: prop.label,
    description: prop.description,
    facts: [
      ...fact('pixels', pixels.toLocaleString('en')),
      ...[...used]
        .slice(0, MOST_LISTED)
        .flatMap(([run, copies]) => fact(`on ${run}`, count(copies.size, 'copy', 'copies'))),
    ],
  };
}

export function elementCard(analysis: Analysis, element: Element): Card {
  const base = { kind: element.keyword, name: element.name, description: element.description };
  const run = element.owner.kind === 'run' ? analysis.plan.runs.get(element.owner.name) : undefined;
  const account = run === undefined ? undefined : analysis.account.runs.get(run);
  const pieces = (run?.pieces ?? []).flatMap((piece) =>
    piece.kind === 'string' &&
    piece.origin.declaration === element.origin.declaration &&
    piece.origin.start === element.origin.start
      ? [piece]
      : [],
  );
  const strings = (account?.strings ?? []).filter((string) => pieces.includes(string.piece));
  const first = pieces[0];
  const last = pieces.at(-1);
  if (run === undefined || first === undefined || last === undefined)
    return { ...base, facts: fact('in', `${element.owner.kind} ${element.owner.name}`) };
  const least = strings
    .map((string) => string.least)
    .reduce<{ volts: number; pixel: number } | undefined>(
      (a, b) => (a === undefined || b.volts < a.volts ? b : a),
      undefined,
    );
  const most = strings
    .map((string) => string.most)
    .reduce<{ amps: number; pixel: number } | undefined>(
      (a, b) => (a === undefined || b.amps > a.amps ? b : a),
      undefined,
    );
  const rated = first.part.rated;
  const unit = unitOf(first.part);
  const pixels = pieces.reduce((sum, piece) => sum + piece.count, 0);
  return {
    ...base,
    facts: [
      ...fact(
        `${unit}s`,
        `${pixels.toLocaleString('en')} of ${first.part.name}, ${first.first} to ${last.first + last.count - 1} of ${run.name}`,
      ),
      ...fact('least voltage', least === undefined ? undefined : `${volts(least.volts)} at ${unit} ${least.pixel}`),
      ...fact(
        unit === 'pixel' ? 'most current in its own wire' : 'most current in a cord',
        most === undefined ? undefined : `${amps(most.amps)} at ${unit} ${most.pixel}`,
        rated === undefined
          ? undefined
          : `rated ${rating(rated.value)}${rated.origin === undefined ? `, ${rated.source}` : ''}`,
      ),
    ],
    notes: strings.length === 0 ? [] : [conditions(analysis.plan)],
  };
}
