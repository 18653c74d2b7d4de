import type { Account } from '../model/account.ts';
import { addressedPixels } from '../model/fixtures.ts';
import { outputText } from '../model/outputs.ts';
import type { Board, CablePart, Controller, Feed, Output, Place, Plan, Run, Supply } from '../model/plan.ts';
import { portName } from '../model/port-of.ts';
import { amps, rating, volts } from '../model/texts.ts';
import { type CableItem, cablesOf } from './cable-list.ts';
import { type Cell, figure, type Paper, type Table, whole } from './paper.ts';

/** A wiring page for each place where supplies or boards stand: what is screwed to which output and which port. */
export function boxes(plan: Plan, account: Account): Paper {
  const cables = cablesOf(plan);
  const codeOf = (owner: string, from: string) =>
    cables.find((cable) => cable.owner === owner && cable.from.text === from)?.code;
  const tables = placesWithBoxes(plan).flatMap((place): Table[] => {
    const supplies = [...plan.supplies.values()].filter((supply) => supply.place === place);
    const boards = [...plan.boards.values()].filter((board) => board.place === place);
    const controllers = [...plan.controllers.values()].filter((controller) => controller.place === place);
    const where = place === undefined ? 'Without a place' : (place.label ?? place.name);
    return [
      ...supplies.map((supply) => supplyTable(plan, account, supply, where, codeOf)),
      ...boards.map((board) => boardTable(plan, account, board, where, codeOf)),
      ...controllers.map((controller) => portTable(plan, controller, where, codeOf)),
      ...bondTables(cables, place, where),
    ];
  });
  return {
    id: 'boxes',
    title: 'Wiring, box by box',
    intro: 'Set the trimmer of each supply with nothing connected to it. Fuses stay out until the checks are done.',
    tables,
  };
}

type CodeOf = (owner: string, from: string) => string | undefined;

function placesWithBoxes(plan: Plan): (Place | undefined)[] {
  const used = new Set<Place | undefined>();
  for (const supply of plan.supplies.values()) used.add(supply.place);
  for (const board of plan.boards.values()) used.add(board.place);
  for (const controller of plan.controllers.values()) used.add(controller.place);
  const ordered: (Place | undefined)[] = [...plan.places.values()].filter((place) => used.has(place));
  return used.has(undefined) ? [...ordered, undefined] : ordered;
}

function supplyTable(plan: Plan, account: Account, supply: Supply, where: string, codeOf: CodeOf): Table {
  const setTo = supply.volts === undefined ? 'its nominal voltage' : volts(supply.volts.value);
  const mains = supply.circuit === undefined ? '' : `, mains from ${supply.circuit.name}`;
  return {
    id: `box-${supply.name}`,
    title: `${where}: supply ${supply.name}`,
    note: `${supply.part?.label ?? supply.part?.name ?? 'unknown part'}, set to ${setTo}${mains}.`,
    columns: OUTPUT_COLUMNS,
    rows: [...supply.outputs.values()].flatMap((output) => outputRows(plan, account, output, codeOf)),
  };
}

const OUTPUT_COLUMNS: Table['columns'] = [
  { title: 'output' },
  { title: 'fuse', align: 'right', unit: 'A' },
  { title: 'goes to' },
  { title: 'cable' },
  { title: 'label' },
  { title: 'load', align: 'right', unit: 'A' },
];

function boardTable(plan: Plan, account: Account, board: Board, where: string, codeOf: CodeOf): Table {
  return {
    id: `box-${board.name}`,
    title: `${where}: fused board ${board.name}`,
    note: `Fed from ${outputText(board.from)} by ${cableName(board.cable, board.parallel)}.`,
    columns: OUTPUT_COLUMNS,
    rows: [...board.outputs.values()].flatMap((output) => outputRows(plan, account, output, codeOf)),
  };
}

function outputRows(plan: Plan, account: Account, output: Output, codeOf: CodeOf): Cell[][] {
  const name = outputText(output);
  const load = account.outputs.get(output);
  const fuse = output.fuse === undefined ? 'none' : figure(output.fuse.amps, rating);
  const users: (readonly [string, string, string | undefined])[] = [
    ...[...plan.feeds.values()]
      .filter((feed) => feed.from === output)
      .map((feed) => [`feed ${feed.name}`, cableText(feed), codeOf(feed.name, name)] as const),
    ...[...plan.boards.values()]
      .filter((board) => board.from === output)
      .map(
        (board) =>
          [`fused board ${board.name}`, cableName(board.cable, board.parallel), codeOf(board.name, name)] as const,
      ),
    ...[...plan.controllers.values()]
      .filter((controller) => controller.from === output)
      .map((controller) => [deviceText(controller), '', undefined] as const),
  ];
  if (users.length === 0) return [[whole(output.number), fuse, 'spare', '', undefined, undefined]];
  return users.map(([to, cable, code], index) => [
    index === 0 ? whole(output.number) : undefined,
    index === 0 ? fuse : undefined,
    to,
    cable,
    code,
    index === 0 && load !== undefined ? figure(load, amps) : undefined,
  ]);
}

function cableText(feed: Feed): string {
  const first = feed.pieces.find((piece) => piece.kind === 'cable');
  if (first?.kind !== 'cable') return '';
  return cableName(first.cable, first.parallel);
}

function cableName(cable: CablePart, parallel: number): string {
  return `${cable.label ?? cable.name}${parallel > 1 ? ` x ${parallel}` : ''}`;
}

function portTable(plan: Plan, controller: Controller, where: string, codeOf: CodeOf): Table {
  const runs = [...plan.runs.values()].filter((run) => run.controller === controller);
  const from = controller.from;
  const power = from === undefined ? 'no power input in the plan' : `power from ${outputText(from)}`;
  return {
    id: `box-${controller.name}`,
    title: `${where}: ${deviceText(controller)}`,
    note: `${controller.part?.label ?? controller.part?.name ?? 'unknown part'}, ${power}.`,
    columns: [
      { title: 'port' },
      { title: 'run' },
      { title: 'pixels', align: 'right' },
      { title: 'lead' },
      { title: 'label' },
    ],
    rows: [
      ...[...runs].sort((a, b) => (a.port ?? 0) - (b.port ?? 0)).map((run) => portRow(run, codeOf)),
      ...linkRows(plan, controller, codeOf),
    ],
  };
}

/** Receivers whose links are plugged in here. */
function linkRows(plan: Plan, controller: Controller, codeOf: CodeOf): Cell[][] {
  return [...plan.controllers.values()].flatMap(({ name, link, part }): Cell[][] => {
    if (link?.from !== controller) return [];
    const from = link.from.isReceiver ? link.from.name : `${link.from.name}.${link.firstPort}`;
    const ports = `${link.firstPort} to ${link.firstPort + (part?.ports ?? 1) - 1}`;
    const cable = link.cable.label ?? link.cable.name;
    return [[link.from.isReceiver ? undefined : ports, `link to ${name}`, undefined, cable, codeOf(name, from)]];
  });
}

const deviceText = ({ name, isReceiver }: Controller) => `${isReceiver ? 'receiver' : 'controller'} ${name}`;

function portRow(run: Run, codeOf: CodeOf): Cell[] {
  const lead = run.pieces.find((piece) => piece.kind === 'lead');
  return [
    run.port === undefined ? undefined : whole(run.port),
    run.label === undefined ? run.name : `${run.name}, ${run.label}`,
    whole(addressedPixels(run)),
    lead?.kind === 'lead' ? (lead.cable.label ?? lead.cable.name) : undefined,
    codeOf(run.name, portName(run)),
  ];
}

function bondTables(cables: readonly CableItem[], place: Place | undefined, where: string): Table[] {
  const here = cables.filter(({ kind, from, to }) => kind === 'bond' && (from.place === place || to.place === place));
  if (here.length === 0) return [];
  return [
    {
      id: `bonds-${place?.name ?? 'nowhere'}`,
      title: `${where}: grounds joined`,
      columns: [{ title: 'from' }, { title: 'to' }, { title: 'cable' }, { title: 'label' }],
      rows: here.map(({ from, to, part, code }): Cell[] => [from.text, to.text, part?.label ?? part?.name, code]),
    },
  ];
}
