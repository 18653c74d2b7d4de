import { tapTextOf } from '../model/fixtures.ts';
import { outputText, ownerOf } from '../model/outputs.ts';
import type { CablePart, ConnectorPart, Feed, Piece, Place, Plan, Run, StringPiece } from '../model/plan.ts';
import { portName } from '../model/port-of.ts';
import { shortCodes } from './short-code.ts';

/** One cable as it lies in the yard: what it is cut from, how long it is, and what hangs at both ends. */
export interface CableItem {
  /** What stays the same from year to year while the cable joins the same two things. */
  readonly key: string;
  /** For its labels. */
  readonly code: string;
  readonly kind: 'lead' | 'gap' | 'ribbon' | 'link' | 'board' | 'feed' | 'bond' | 'extension';
  /** The run, feed or bond that it belongs to. */
  readonly owner: string;
  /** Absent where a string's own wire goes on. */
  readonly part: CablePart | undefined;
  /** m of each of the parallel cables, slack included. */
  readonly metres: number;
  readonly parallel: number;
  readonly from: CableEnd;
  readonly to: CableEnd;
  readonly path: readonly Place[];
}

export interface CableEnd {
  readonly text: string;
  readonly place: Place | undefined;
  readonly connector: ConnectorPart | undefined;
  /** What goes on a bare end, where no connector part does. */
  readonly finish: Finish | undefined;
}

/** Stranded wire under a screw gets a ferrule, an end that is soldered or crimped to a string a splice (common practice). */
type Finish = 'ferrule' | 'splice' | 'network plug' | 'ribbon plug' | 'mains plug';

/** Every cable of a plan, in the order of the plan: leads, gaps and ribbons of runs, then of links, boards, feeds, bonds and mains. */
export function cablesOf(plan: Plan): CableItem[] {
  const drafts = [
    ...[...plan.runs.values()].flatMap(runCables),
    ...linkCables(plan),
    ...boardCables(plan),
    ...[...plan.feeds.values()].flatMap(feedCables),
    ...bondCables(plan),
    ...extensionLeads(plan),
  ];
  const codes = shortCodes(drafts.map(({ key }) => key));
  const ribbon = drafts.find((draft) => isStandard(plan, draft))?.part;
  return drafts.map((draft) => ({
    ...draft,
    part: isStandard(plan, draft) ? ribbon : draft.part,
    code: codes.get(draft.key) ?? '',
  }));
}

/** A ribbon that the plan names no part for is made anew for each run, and is the same all the same. */
function isStandard({ cables }: Plan, { kind, part }: Draft): boolean {
  return kind === 'ribbon' && part !== undefined && cables.get(part.name) !== part;
}

type Draft = Omit<CableItem, 'code'>;

const SCREWED = { connector: undefined, finish: 'ferrule' } as const;

function draftOf(draft: Omit<Draft, 'key'>): Draft {
  return { key: [draft.owner, draft.kind, draft.from.text, draft.to.text].join('\n'), ...draft };
}

function runCables(run: Run): Draft[] {
  const found: Draft[] = [];
  for (const [index, piece] of run.pieces.entries()) {
    if (piece.kind === 'gap' && piece.bare && piece.cable !== undefined) found.push(...ribbon(run, piece, index));
    if (piece.kind !== 'lead' && (piece.kind !== 'gap' || piece.bare)) continue;
    const before = nearest(run.pieces, index, -1);
    const after = nearest(run.pieces, index, 1);
    const port = portName(run);
    const from: CableEnd =
      piece.kind === 'lead' || before === undefined
        ? { text: port, place: run.controller?.place, ...(after?.part.kind === 'panel' ? endOn(after) : SCREWED) }
        : { text: `${stringName(run, before)} end`, place: run.place, ...endOn(before) };
    const to: CableEnd = {
      text: after === undefined ? `${run.name} end` : `${stringName(run, after)} start`,
      place: run.place,
      ...endOn(after),
    };
    const path = piece.kind === 'lead' ? piece.path : [];
    found.push(
      draftOf({
        kind: piece.kind,
        owner: run.name,
        part: piece.cable,
        metres: piece.length,
        parallel: 1,
        from,
        to,
        path,
      }),
    );
  }
  return found;
}

/** Panels are joined by ribbons of their own; their plugs carry no power. */
function ribbon(run: Run, piece: Extract<Piece, { kind: 'gap' }>, index: number): Draft[] {
  const [before, after] = [nearest(run.pieces, index, -1), nearest(run.pieces, index, 1)];
  if (before === undefined || after === undefined) return [];
  const end = (panel: StringPiece): CableEnd => ({
    text: tapTextOf(run, panel),
    place: run.place,
    ...endOn(panel),
  });
  const { cable: part, length: metres } = piece;
  const [from, to] = [end(before), end(after)];
  return [draftOf({ kind: 'ribbon', owner: run.name, part, metres, parallel: 1, from, to, path: [] })];
}

/** What joins data to a string; the connector of a panel is that of its power. */
function endOn(piece: StringPiece | undefined): Pick<CableEnd, 'connector' | 'finish'> {
  if (piece?.part.kind === 'panel') return { connector: undefined, finish: 'ribbon plug' };
  return tappedWith(piece?.part.ends);
}

function tappedWith(connector: ConnectorPart | undefined): Pick<CableEnd, 'connector' | 'finish'> {
  return { connector, finish: connector === undefined ? 'splice' : undefined };
}

function nearest(pieces: readonly Piece[], index: number, step: 1 | -1): StringPiece | undefined {
  for (let at = index + step; at >= 0 && at < pieces.length; at += step) {
    const piece = pieces[at];
    if (piece?.kind === 'string') return piece;
  }
  return undefined;
}

/** "eaves.gutter", "arches.far(2)", or by its first pixel where it has no name. */
export function stringName(run: Run, piece: StringPiece): string {
  if (piece.copies !== undefined) {
    const copy = `${run.name}.${piece.copies.name}(${piece.copies.number})`;
    return piece.element === undefined ? copy : `${copy} ${piece.element}`;
  }
  if (piece.element === undefined) return `${run.name}[${piece.first}]`;
  return `${run.name}.${piece.element}${piece.line.strands > 1 ? `(${piece.strand})` : ''}`;
}

function feedCables(feed: Feed): Draft[] {
  const found: Draft[] = [];
  let from: CableEnd = {
    text: feed.from === undefined ? '?' : outputText(feed.from),
    place: feed.from === undefined ? undefined : ownerOf(feed.from).place,
    ...SCREWED,
  };
  for (const [index, piece] of feed.pieces.entries()) {
    if (piece.kind === 'tap') continue;
    const next = feed.pieces.slice(index + 1).find((other) => other.kind === 'tap');
    const to: CableEnd =
      next?.kind === 'tap'
        ? { text: next.tap.text, place: next.tap.run.place, ...tappedWith(next.connector) }
        : { text: `${feed.name} end`, place: undefined, connector: undefined, finish: undefined };
    found.push(
      draftOf({
        kind: 'feed',
        owner: feed.name,
        part: piece.cable,
        metres: piece.length,
        parallel: piece.parallel,
        from,
        to,
        path: piece.path,
      }),
    );
    from = to;
  }
  return found;
}

function linkCables(plan: Plan): Draft[] {
  return [...plan.controllers.values()].flatMap((receiver): Draft[] => {
    const { link } = receiver;
    if (link === undefined) return [];
    return [
      draftOf({
        kind: 'link',
        owner: receiver.name,
        part: link.cable,
        metres: link.length,
        parallel: 1,
        from: {
          text: link.from.isReceiver ? link.from.name : `${link.from.name}.${link.firstPort}`,
          place: link.from.place,
          connector: undefined,
          finish: 'network plug',
        },
        to: { text: `${receiver.name} link`, place: receiver.place, connector: undefined, finish: 'network plug' },
        path: link.path,
      }),
    ];
  });
}

function boardCables(plan: Plan): Draft[] {
  return [...plan.boards.values()].map((board) =>
    draftOf({
      kind: 'board',
      owner: board.name,
      part: board.cable,
      metres: board.length,
      parallel: board.parallel,
      from: { text: outputText(board.from), place: ownerOf(board.from).place, ...SCREWED },
      to: { text: `${board.name} in`, place: board.place, ...SCREWED },
      path: board.path,
    }),
  );
}

function bondCables(plan: Plan): Draft[] {
  return [...plan.bonds.values()].map((bond) =>
    draftOf({
      kind: 'bond',
      owner: bond.name,
      part: bond.cable,
      metres: bond.length,
      parallel: 1,
      from: { text: `${bond.from.name} ground`, place: bond.from.place, ...SCREWED },
      to: { text: `${bond.to.name} ground`, place: bond.to.place, ...SCREWED },
      path: [],
    }),
  );
}

/** Before all supplies of a circuit, and before single supplies; bought with their plugs. */
function extensionLeads(plan: Plan): Draft[] {
  const plugged = { connector: undefined, finish: 'mains plug' } as const;
  return [...plan.circuits.values(), ...plan.supplies.values()].flatMap((owner): Draft[] => {
    const { extension, place } = owner;
    if (extension === undefined) return [];
    const before = owner.kind === 'circuit' ? `${owner.name} socket` : (owner.circuit?.name ?? 'mains');
    const behind = owner.kind === 'circuit' ? `supplies on ${owner.name}` : owner.name;
    return [
      draftOf({
        kind: 'extension',
        owner: owner.name,
        part: extension.cord,
        metres: extension.length,
        parallel: 1,
        from: { text: before, place: owner.kind === 'circuit' ? place : owner.circuit?.place, ...plugged },
        to: { text: behind, place: owner.kind === 'circuit' ? undefined : place, ...plugged },
        path: [],
      }),
    ];
  });
}

/** Ribbons and extension leads come with their plugs on. */
export function isCut({ kind, part }: CableItem): boolean {
  return part !== undefined && kind !== 'ribbon' && kind !== 'extension';
}
