import { isFixture } from '../model/fixtures.ts';
import { outputsOf } from '../model/outputs.ts';
import type { Named, Plan, StringPiece } from '../model/plan.ts';
import type { Price, Priced } from '../model/prices.ts';
import { count, rating } from '../model/texts.ts';
import { cablesOf } from './cable-list.ts';

/** What is needed of one kind of thing, what to keep beside it, and what both amount to. */
export interface Need {
  readonly kind:
    | 'pixels'
    | 'panel'
    | 'flood'
    | 'cable'
    | 'connector'
    | 'supply'
    | 'fused board'
    | 'controller'
    | 'receiver'
    | 'fuse';
  readonly name: string;
  readonly label: string | undefined;
  /** Pieces; metres for cable. */
  readonly amount: number;
  readonly spare: number;
  /** How many strings or cables that makes, where it is not the amount itself. */
  readonly pieces: number | undefined;
  readonly price: Price | undefined;
}

/** Everything that has to be on the bench before the work starts, kind by kind, in the order of the plan. */
export function needsOf(plan: Plan): Need[] {
  const supplies = [...plan.supplies.values()].map(({ part }) => part);
  const boards = [...plan.controllers.values()];
  const partsOf = (isReceiver: boolean) =>
    boards.filter((board) => board.isReceiver === isReceiver).map(({ part }) => part);
  return [
    ...pixelNeeds(plan),
    ...cableNeeds(plan),
    ...connectorNeeds(plan),
    ...deviceNeeds(plan, 'supply', supplies),
    ...boardNeeds(plan),
    ...deviceNeeds(plan, 'controller', partsOf(false)),
    ...deviceNeeds(plan, 'receiver', partsOf(true)),
    ...fuseNeeds(plan),
  ];
}

type Part = Named & Priced;

class Tally<K> {
  readonly sums = new Map<K, { amount: number; pieces: number }>();

  add(key: K, amount: number, pieces = 1): void {
    const sum = this.sums.get(key) ?? { amount: 0, pieces: 0 };
    sum.amount += amount;
    sum.pieces += pieces;
    this.sums.set(key, sum);
  }
}

function pixelNeeds(plan: Plan): Need[] {
  const { pixels, devices } = plan.design.spares;
  const tally = new Tally<StringPiece['part']>();
  for (const run of plan.runs.values())
    for (const piece of run.pieces) if (piece.kind === 'string') tally.add(piece.part, piece.count);
  return [...tally.sums].map(([part, { amount, pieces }]) => ({
    kind: part.kind === 'pixel' ? 'pixels' : part.kind,
    ...called(part),
    amount,
    spare: part.kind === 'pixel' ? shareOf(amount, pixels.value) : devices.value,
    pieces: part.kind === 'pixel' ? pieces : undefined,
  }));
}

function cableNeeds(plan: Plan): Need[] {
  const tally = new Tally<Part>();
  for (const { part, metres, parallel } of cablesOf(plan))
    if (part !== undefined) tally.add(part, metres * parallel, parallel);
  return [...tally.sums].map(([part, { amount, pieces }]) => ({
    kind: 'cable',
    ...called(part),
    amount,
    spare: amount * plan.design.spares.cable.value,
    pieces,
  }));
}

/** Of strings, a mated pair at each end that meets a lead, a gap or another string; of feeds, one at each tap that has one. */
function connectorNeeds(plan: Plan): Need[] {
  const tally = new Tally<Part>();
  for (const run of plan.runs.values()) {
    let joined: Part | undefined;
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
    spare: shareOf(amount, plan.design.spares.connectors.value),
    pieces: undefined,
  }));
}

function deviceNeeds(plan: Plan, kind: Need['kind'], parts: readonly (Part | undefined)[]): Need[] {
  const tally = new Tally<Part>();
  for (const part of parts) if (part !== undefined) tally.add(part, 1);
  return [...tally.sums].map(([part, { amount }]) => ({
    kind,
    ...called(part),
    amount,
    spare: plan.design.spares.devices.value,
    pieces: undefined,
  }));
}

/** A plan tells fused boards apart by the number of their outputs alone. */
function boardNeeds(plan: Plan): Need[] {
  const tally = new Tally<number>();
  for (const { outputs } of plan.boards.values()) tally.add(outputs.size, 1);
  return [...tally.sums].map(([outputs, { amount }]) => ({
    kind: 'fused board',
    ...unpriced(`fused board, ${count(outputs, 'output')}`),
    amount,
    spare: plan.design.spares.devices.value,
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
      ...unpriced(`${rating(amps)} fuse`),
      amount,
      spare: plan.design.spares.fuses.value,
      pieces: undefined,
    }));
}

/** A share of so many, as a whole number that is no less. */
const shareOf = (amount: number, share: number) => Math.ceil(amount * share - 1e-9);
const called = ({ name, label, price }: Part) => ({ name, label, price });
const unpriced = (name: string) => ({ name, label: undefined, price: undefined });
