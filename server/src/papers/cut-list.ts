import { sure } from '#grammar/sure.ts';
import { isFixture } from '../model/fixtures.ts';
import type { CablePart, PixelPart, Plan } from '../model/plan.ts';
import { routeBetween } from '../model/route-between.ts';
import { metres, rating } from '../model/texts.ts';
import { type CableEnd, type CableItem, cablesOf } from './cable-list.ts';
import { type Cell, type Column, figure, type Paper, type Table, whole } from './paper.ts';

/** One table for each kind of cable, longest first, so that a drum is cut with little waste. */
export function cutList(plan: Plan): Paper {
  const byPart = new Map<CablePart | string, CableItem[]>();
  for (const cable of cablesOf(plan)) {
    const kind = cable.part ?? unnamed(cable);
    byPart.set(kind, [...(byPart.get(kind) ?? []), cable]);
  }
  return {
    id: 'cuts',
    title: 'Cut list',
    intro: `Cut, label both ends with the code, tick off. A ferrule goes on every stranded end under a screw. Lengths are as the plan states them; a length taken from a route includes ${metres(plan.design.slack.value, plan.design.units)} of slack and drip loop at each end.`,
    tables: [
      ...[...byPart].map(([kind, cables], index) => cutTable(plan, titleOf(kind), cables, index)),
      ...cordTables(plan),
    ],
  };
}

function cutTable(plan: Plan, name: string, cables: readonly CableItem[], index: number): Table {
  const said = (value: number) => figure(value, (it) => metres(it, plan.design.units));
  const sorted = [...cables].sort((a, b) => b.metres - a.metres);
  const sum = cables.reduce((total, cable) => total + cable.metres * cable.parallel, 0);
  const columns: readonly CutColumn[] = [
    { title: 'done', blank: true, cell: () => undefined },
    { title: 'code', cell: ({ code }) => code },
    { title: 'length', align: 'right', unit: 'm', cell: (cable) => said(cable.metres) },
    { title: 'slack in it', align: 'right', unit: 'm', rare: true, cell: (cable) => slackIn(plan, cable) },
    { title: 'times', align: 'right', rare: true, cell: ({ parallel }) => timesText(parallel) },
    { title: 'for', cell: ({ owner, kind }) => `${owner} (${kind})` },
    { title: 'from', cell: ({ from }) => endText(from) },
    { title: 'to', cell: ({ to }) => endText(to) },
    { title: 'way', rare: true, cell: ({ path }) => path.map((place) => place.name).join(' – ') || undefined },
  ];
  // What no cable of the kind has would only make the other columns narrow.
  const shown = columns.filter(({ rare, cell }) => rare !== true || sorted.some((cable) => cell(cable) !== undefined));
  return {
    id: `cuts-${index + 1}`,
    title: name,
    ...conductorNote(cables[0]?.part),
    columns: shown,
    rows: sorted.map((cable) => shown.map(({ cell }) => cell(cable))),
    sum: shown.map(({ title }) => (title === 'length' ? said(sum) : title === 'for' ? 'in all' : undefined)),
  };
}

interface CutColumn extends Column {
  readonly rare?: true;
  readonly cell: (cable: CableItem) => Cell;
}

const timesText = (parallel: number): Cell => (parallel === 1 ? undefined : { text: `x ${parallel}`, value: parallel });

/** "1.5 mm2, V+ ground, 16 A" */
function conductorNote(part: CablePart | undefined): { note?: string } {
  if (part?.conductor === undefined) return {};
  const rated = part.rated === undefined ? '' : `, ${rating(part.rated.value)}`;
  return { note: `${part.conductor.text}, ${[...part.cores].join(' ')}${rated}` };
}

/** The slack in a length that was taken from routes; none where the plan states the length. */
function slackIn({ routes, design }: Plan, { path, metres: length }: CableItem): Cell {
  let way = 0;
  for (const [index, place] of path.slice(1).entries()) way += routeBetween(routes, path[index], place)?.length ?? 0;
  const slack = 2 * design.slack.value;
  const isIn = way > 0 && slack > 0 && Math.abs(way + slack - length) < 1e-6;
  return isIn ? figure(slack, (value) => metres(value, design.units)) : undefined;
}

/** Cords that panels and floods come with: not cut, but somebody has to know how far they reach. */
function cordTables({ runs, design }: Plan): Table[] {
  const counts = new Map<PixelPart, number>();
  for (const { pieces } of runs.values())
    for (const piece of pieces)
      if (piece.kind === 'string' && isFixture(piece.part)) counts.set(piece.part, (counts.get(piece.part) ?? 0) + 1);
  if (counts.size === 0) return [];
  return [
    {
      id: 'cords',
      title: 'Cords that come with panels and floods',
      columns: [
        { title: 'part' },
        { title: 'times', align: 'right' },
        { title: 'length', align: 'right', unit: 'm' },
        { title: 'conductor' },
        { title: 'plug' },
      ],
      rows: [...counts].map(([part, count]): Cell[] => [
        part.label ?? part.name,
        whole(count),
        figure(sure(part.cord), (value) => metres(value, design.units)),
        part.wire?.text,
        part.ends?.label ?? part.ends?.name,
      ]),
    },
  ];
}

/** "eaves.end, at roof, with wire-tap", "psu.1, at shed, ferrule" */
export function endText({ text, place, connector, finish }: CableEnd): string {
  const at = place === undefined ? '' : `, at ${place.name}`;
  const on = connector === undefined ? finish : `with ${connector.name}`;
  return `${text}${at}${on === undefined ? '' : `, ${on}`}`;
}

/** With its name, since two parts may have the same label. */
function titleOf(kind: CablePart | string): string {
  if (typeof kind === 'string') return kind;
  return kind.label === undefined ? kind.name : `${kind.label} (${kind.name})`;
}

function unnamed({ kind }: CableItem): string {
  return kind === 'extension' ? 'extension leads of a kind that the plan does not name' : 'own wire of the strings';
}
