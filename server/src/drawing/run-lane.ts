import { sure } from '#grammar/sure.ts';
import { exceeds } from '../checks/limits.ts';
import type { Account, FeedAccount } from '../model/account.ts';
import { isFixture, isFloods, sizeText, unitOf } from '../model/fixtures.ts';
import { neededVolts } from '../model/null-pixels.ts';
import type { Feed, FeedPiece, Plan, Run, StringPiece } from '../model/plan.ts';
import { portName, portOrigin } from '../model/port-of.ts';
import { amps, count, metres, rating, share, volts } from '../model/texts.ts';
import { type LaneScale, laneScale } from './lane-scale.ts';
import { bar, fitted, group, label, line, type Shape, widthOf } from './shape.ts';

/** A run as one line: the port and its lead, strings and gaps to scale, and above them every feed with its taps. */
export interface Lane {
  readonly shapes: readonly Shape[];
  readonly scale: LaneScale;
  /** Where the next thing may be drawn. */
  readonly bottom: number;
}

/** Room at the left for what the run hangs on. */
const LEFT = 190;
const RIGHT = 24;
const FEED_ROW = 24;
const BAR = 17;
/** Between the last feed and the bar. */
const CLEAR = 8;

export function runLane(plan: Plan, account: Account, run: Run, top: number, width: number): Lane {
  const scale = laneScale(run, LEFT + leadRoom(run), width - RIGHT);
  const feeds = [...plan.feeds.values()].filter((feed) => tapsOn(feed, run).length > 0);
  const barTop = top + 26 + feeds.length * FEED_ROW + CLEAR;
  const shapes: Shape[] = [
    title(account, run, top),
    ...feeds.map((feed, index) =>
      feedRow(plan, account.feeds.get(feed), feed, run, scale, top + 26 + index * FEED_ROW, barTop),
    ),
    ...(isFloods(run) ? [] : [source(plan, run, scale, barTop + BAR / 2)]),
    ...pieces(plan, run, scale, barTop),
    ...leastMark(account, run, scale, barTop + BAR),
  ];
  return { shapes, scale, bottom: barTop + BAR + 24 };
}

function leadRoom(run: Run): number {
  return run.pieces.some(({ kind }) => kind === 'lead') ? 56 : 24;
}

function title(account: Account, run: Run, top: number): Shape {
  const load = account.runs.get(run);
  const facts = [
    sizeText(run),
    ...(load === undefined ? [] : [amps(load.amps)]),
    ...(load?.least === undefined ? [] : [`least ${volts(load.least.volts)} at [${load.least.pixel}]`]),
  ].join(', ');
  const name = run.label === undefined ? run.name : `${run.name}, ${run.label}`;
  return group(
    `Run ${name}: ${facts}`,
    run.origin,
    { ...label(0, top + 12, fitted(name, 420)), strong: true },
    label(Math.min(widthOf(name), 420) + 34, top + 12, facts, 'faint'),
  );
}

/** From the port through the lead to the first string. */
function source(plan: Plan, run: Run, scale: LaneScale, y: number): Shape {
  const port = portName(run);
  const lead = run.pieces.find((piece) => piece.kind === 'lead');
  const length = lead && metres(lead.length, plan.design.units);
  const shapes: Shape[] = [
    bar(0, y - 9, Math.min(LEFT - 20, widthOf(port) + 14), 18, 'box'),
    label(7, y + 4, fitted(port, LEFT - 34)),
    line(Math.min(LEFT - 20, widthOf(port) + 14), y, scale.left, y, 'data'),
    // Data goes this way.
    {
      kind: 'path',
      points: [
        [scale.left - 8, y - 4],
        [scale.left - 1, y],
        [scale.left - 8, y + 4],
      ],
      closed: true,
      look: 'data',
    },
  ];
  if (length !== undefined) shapes.push(label(scale.left - 12, y - 5, length, 'data', 'end'));
  return group(
    `Port ${port}${lead === undefined ? '' : `, lead ${length} of ${lead.cable.name}`}`,
    lead?.origin ?? portOrigin(run),
    ...shapes,
  );
}

/** Pieces narrower than this are drawn together: nobody can tell them apart, and a long run has thousands. */
const NARROWEST = 2.5;

function pieces(plan: Plan, run: Run, scale: LaneScale, top: number): Shape[] {
  const found: Shape[] = [];
  for (let index = 0; index < run.pieces.length; index++) {
    const piece = sure(run.pieces[index]);
    const [start, end] = sure(scale.spans.get(piece));
    if (piece.kind === 'cut') found.push(cutMark(piece.origin, start, top));
    if (piece.kind === 'gap' && end - start >= NARROWEST)
      found.push(
        group(
          `Gap of ${metres(piece.length, plan.design.units)}`,
          piece.origin,
          line(start, top + BAR / 2, end, top + BAR / 2, 'data'),
        ),
      );
    if (piece.kind !== 'string') continue;
    const last = lastOfLine(run, index, piece, end - start < NARROWEST * 2);
    found.push(stringBar(piece, last.piece, start, sure(scale.spans.get(last.piece))[1], top));
    index = last.index;
  }
  return found;
}

/** Strands of one matrix or tree are one block, and so are copies that are too narrow to be told apart. */
function lastOfLine(run: Run, from: number, first: StringPiece, together: boolean) {
  let last = { index: from, piece: first };
  for (let index = from + 1; index < run.pieces.length; index++) {
    const piece = run.pieces[index];
    if (piece?.kind === 'gap') continue;
    if (piece?.kind !== 'string') break;
    const same =
      first.copies === undefined
        ? piece.line === first.line && piece.strand > 1
        : together && piece.copies?.name === first.copies.name;
    if (!same) break;
    last = { index, piece };
  }
  return last;
}

function stringBar(piece: StringPiece, last: StringPiece, start: number, to: number, top: number): Shape {
  const name = nameOf(piece, last);
  const pixels = `[${piece.first}] to [${last.first + last.count - 1}]`;
  const shapes: Shape[] = [bar(start, top, to - start, BAR, 'string')];
  const room = to - start - 6;
  // A copy is still known by its number where its name has no room.
  const text = widthOf(name) > room && piece.copies !== undefined ? String(piece.copies.number) : name;
  const shown = fitted(text, room);
  if (shown !== '') shapes.push(label((start + to) / 2, top + BAR - 4.5, shown, 'ink', 'middle'));
  return group(
    `${name === '' ? piece.line.keyword : name}, pixels ${pixels}, ${piece.part.name}`,
    piece.origin,
    ...shapes,
  );
}

function nameOf(piece: StringPiece, last: StringPiece): string {
  if (piece.copies !== undefined) {
    const [from, to] = [piece.copies.number, sure(last.copies).number];
    return from === to ? `${piece.copies.name}(${from})` : `${piece.copies.name} x ${to}`;
  }
  const unit = isFixture(piece.part) ? unitOf(piece.part) : 'strand';
  const strands = piece.line.strands > 1 ? count(piece.line.strands, unit) : '';
  return [piece.element ?? '', strands].filter((text) => text !== '').join(', ');
}

function cutMark(origin: Shape extends { origin: infer O } ? O : Run['origin'], x: number, top: number): Shape {
  return group(
    'V+ is cut here',
    origin,
    line(x - 4, top + BAR + 4, x + 1, top - 5, 'over'),
    line(x + 1, top + BAR + 4, x + 6, top - 5, 'over'),
    label(x + 9, top - 4, 'V+ cut', 'over'),
  );
}

type TapPiece = Extract<FeedPiece, { kind: 'tap' }>;

function tapsOn(feed: Feed, run: Run): TapPiece[] {
  return feed.pieces.filter((piece): piece is TapPiece => piece.kind === 'tap' && piece.tap.run === run);
}

function feedRow(
  plan: Plan,
  load: FeedAccount | undefined,
  feed: Feed,
  run: Run,
  scale: LaneScale,
  top: number,
  barTop: number,
): Shape {
  const y = top + 12;
  const from = feed.from === undefined ? '?' : `${feed.from.supply.name}.${feed.from.number}`;
  const fuse = feed.from?.fuse === undefined ? 'no fuse' : rating(feed.from.fuse.amps);
  const xs = tapsOn(feed, run).map(({ tap }) => scale.joint(tap.piece, tap.pixel));
  const start = Math.min(LEFT - 16, widthOf(`${from}  ${fuse}`) + 14);
  const over = isOver(feed, load);
  const look = over ? 'over' : 'power';
  const shapes: Shape[] = [
    bar(0, y - 9, start, 18, 'box'),
    label(7, y + 4, fitted(`${from}  ${fuse}`, start - 10), over ? 'over' : 'ink'),
    line(start, y, Math.max(start, ...xs), y, look),
    ...xs.flatMap((x): Shape[] => [line(x, y, x, barTop, look), bar(x - 3, barTop - 3, 6, 6, look)]),
    label(start + 6, y - 3, cableText(plan, feed), look),
  ];
  const carried = load === undefined ? '' : `, ${amps(load.amps)}, ${volts(load.drop)} lost`;
  return group(
    `Feed ${feed.name} from ${from}, ${fuse}${feed.from?.fuse === undefined ? '' : ' fuse'}${carried}${over ? ', OVERLOADED' : ''}`,
    feed.origin,
    ...shapes,
  );
}

function cableText(plan: Plan, feed: Feed): string {
  const cables = feed.pieces.filter((piece) => piece.kind === 'cable');
  const first = sure(cables[0]);
  const total = cables.reduce((sum, cable) => sum + cable.length, 0);
  const doubled = first.parallel > 1 ? ` x ${first.parallel}` : '';
  return `${metres(total, plan.design.units)} ${first.cable.name}${doubled}`;
}

function isOver(feed: Feed, load: FeedAccount | undefined): boolean {
  if (load === undefined) return false;
  const fuse = feed.from?.fuse?.amps;
  if (fuse !== undefined && exceeds(load.amps, fuse)) return true;
  return feed.pieces.some((piece, index) => {
    const limit = piece.kind === 'cable' ? piece.cable.rated : undefined;
    const through = load.pieces[index];
    if (piece.kind !== 'cable' || limit === undefined || through === undefined) return false;
    return exceeds(Math.max(Math.abs(through.positive), Math.abs(through.negative)), limit.value * piece.parallel);
  });
}

/** A triangle below the bar where the voltage is least; filled and said so where it is too low. */
function leastMark(account: Account, run: Run, scale: LaneScale, y: number): Shape[] {
  const load = account.runs.get(run);
  const least = load?.least;
  if (load === undefined || least === undefined) return [];
  const { piece: string } = sure(
    load.strings.find(({ piece }) => least.pixel >= piece.first && least.pixel < piece.first + piece.count),
  );
  const x = scale.joint(string, least.pixel - string.first + 1);
  const needs = neededVolts(string);
  const low = needs !== undefined && exceeds(needs, least.volts);
  const says = `Least voltage ${volts(least.volts)} at pixel ${least.pixel}${low ? `, LOW: it needs ${volts(needs)} (${share(least.volts / needs)})` : ''}`;
  return [
    group(
      says,
      run.origin,
      {
        kind: 'path',
        points: [
          [x, y + 1],
          [x - 5, y + 9],
          [x + 5, y + 9],
        ],
        closed: true,
        look: low ? 'low' : 'ink',
      },
      ...(low ? [label(x, y + 21, `${volts(least.volts)} low`, 'low', x > scale.right - 40 ? 'end' : 'middle')] : []),
    ),
  ];
}
