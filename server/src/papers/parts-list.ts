import { isFixture } from '../model/fixtures.ts';
import { outputsOf } from '../model/outputs.ts';
import type { Named, Plan, StringPiece } from '../model/plan.ts';
import { metres, rating } from '../model/texts.ts';
import { cablesOf } from './cable-list.ts';
import { type Cell, type Figure, figure, type Paper, whole } from './paper.ts';

/** What is needed of one kind of thing, what to keep beside it, and what both amount to. */
export interface Need {
  readonly kind: 'pixels' | 'panel' | 'flood' | 'cable' | 'connector' | 'supply' | 'controller' | 'fuse';
  readonly name: string;
  readonly label: string | undefined;
  /** Pieces; metres for cable. */
  readonly amount: number;
  readonly spare: number;
  /** How many strings, cables or pieces that makes, where it is not the amount itself. */
  readonly pieces: number | undefined;
}

/** Common practice, no published source: one pixel in twenty, one of each board and supply, two of each fuse. */
const SPARE_PIXELS = 0.05;
const SPARE_DEVICES = 1;
const SPARE_FUSES = 2;
const SPARE_CONNECTORS = 0.05;

/** Everything that has to be on the bench before the work starts, kind by kind, in the order of the plan. */
export function needsOf(plan: Plan): Need[] {
  return [
    ...pixelNeeds(plan),
    ...cableNeeds(plan),
    ...connectorNeeds(plan),
    ...deviceNeeds(
      'supply',
      [...plan.supplies.values()].map(({ part }) => part),
    ),
    ...deviceNeeds(
      'controller',
      [...plan.controllers.values()].map(({ part }) => part),
    ),
    ...fuseNeeds(plan),
  ];
}

class Tally<K> {
  readonly sums = new Map<K, { amount: number; pieces: number }>();

  add(key: K, amount: number, pieces = 1): void {
    const sum = this.sums.get(key) ?? { amount: 0, pieces: 0 };
    sum.amount += amount;
    sum.pieces += pieces;
    this.sums.set(key, sum);
  }
}

function stringsOf(plan: Plan): StringPiece[] {
  return [...plan.runs.values()].flatMap((run) => run.pieces.filter((piece) => piece.kind === 'string'));
}

function pixelNeeds(plan: Plan): Need[] {
  const tally = new Tally<StringPiece['part']>();
  for (const piece of stringsOf(plan)) tally.add(piece.part, piece.count);
  return [...tally.sums].map(([part, { amount, pieces }]) => ({
    kind: part.kind === 'pixel' ? 'pixels' : part.kind,
    ...called(part),
    amount,
    spare: part.kind === 'pixel' ? Math.ceil(amount * SPARE_PIXELS) : SPARE_DEVICES,
    pieces: part.kind === 'pixel' ? pieces : undefined,
  }));
}

function cableNeeds(plan: Plan): Need[] {
  const tally = new Tally<Named>();
  for (const { part, metres: length, parallel } of cablesOf(plan))
    if (part !== undefined) tally.add(part, length * parallel, parallel);
  return [...tally.sums].map(([part, { amount, pieces }]) => ({
    kind: 'cable',
    ...called(part),
    amount,
    spare: 0,
    pieces,
  }));
}

/** Of strings, a mated pair at each end that meets a lead, a gap or another string; of feeds, one at each tap that has one. */
function connectorNeeds(plan: Plan): Need[] {
  const tally = new Tally<Named>();
  for (const run of plan.runs.values()) {
    let joined: Named | undefined;
    for (const piece of run.pieces) {
      if (piece.kind === 'string') {
        const starts = piece.strand === 1 || isFixture(piece.part);
        if (starts && piece.part.ends !== undefined) tally.add(piece.part.ends, 1);
        joined = piece.part.ends;
      } else if (piece.kind === 'gap' && !piece.bare && joined !== undefined) {
        tally.add(joined, 1);
      }
    }
  }
  for (const feed of plan.feeds.values())
    for (const piece of feed.pieces)
      if (piece.kind === 'tap' && piece.connector !== undefined) tally.add(piece.connector, 1);
  return [...tally.sums].map(([part, { amount }]) => ({
    kind: 'connector',
    ...called(part),
    amount,
    spare: Math.ceil(amount * SPARE_CONNECTORS),
    pieces: undefined,
  }));
}

function deviceNeeds(kind: 'supply' | 'controller', parts: readonly (Named | undefined)[]): Need[] {
  const tally = new Tally<Named>();
  for (const part of parts) if (part !== undefined) tally.add(part, 1);
  return [...tally.sums].map(([part, { amount }]) => ({
    kind,
    ...called(part),
    amount,
    spare: SPARE_DEVICES,
    pieces: undefined,
  }));
}

function fuseNeeds(plan: Plan): Need[] {
  const tally = new Tally<number>();
  for (const { fuse } of outputsOf(plan)) if (fuse !== undefined) tally.add(fuse.amps, 1);
  return [...tally.sums]
    .sort(([a], [b]) => a - b)
    .map(([amps, { amount }]) => ({
      kind: 'fuse',
      name: `${rating(amps)} fuse`,
      label: undefined,
      amount,
      spare: SPARE_FUSES,
      pieces: undefined,
    }));
}

const called = ({ name, label }: Named) => ({ name, label });

const KINDS: Readonly<Record<Need['kind'], string>> = {
  pixels: 'pixels',
  panel: 'panel',
  flood: 'flood',
  cable: 'cable',
  connector: 'connector',
  supply: 'supply',
  controller: 'board',
  fuse: 'fuse',
};

export function partsList(plan: Plan): Paper {
  const { units } = plan.design;
  const rows = needsOf(plan).map((need): Cell[] => {
    const said = (value: number): Figure =>
      need.kind === 'cable' ? figure(value, (it) => metres(it, units)) : whole(value);
    return [
      KINDS[need.kind],
      need.label === undefined ? need.name : `${need.label} (${need.name})`,
      said(need.amount),
      need.spare === 0 ? undefined : said(need.spare),
      said(need.amount + need.spare),
      need.pieces === undefined || need.kind === 'connector' ? undefined : `in ${need.pieces} pieces`,
    ];
  });
  return {
    id: 'parts',
    title: 'Parts list',
    intro:
      'What has to lie on the bench before the work starts. Spares by common practice: one pixel and one connector in twenty, one of each panel, flood, supply and board, two of each fuse. Cable is the sum of the cut list: round up to whole drums.',
    tables: [
      {
        id: 'parts',
        columns: [
          { title: 'kind' },
          { title: 'part' },
          { title: 'needed', align: 'right' },
          { title: 'spare', align: 'right' },
          { title: 'together', align: 'right' },
          { title: '' },
          { title: 'have', blank: true },
          { title: 'to buy', blank: true },
        ],
        rows,
      },
    ],
  };
}
