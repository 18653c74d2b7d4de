import { exact } from '#grammar/exact.ts';
import type { Board, Bond, Controller, Feed, Measurement, Plan, Run, Supply } from './plan.ts';

/** Things that are electrically joined: what happens to one of them can change the volts and amps of all of them. */
export interface Island {
  readonly supplies: readonly Supply[];
  readonly boards: readonly Board[];
  readonly controllers: readonly Controller[];
  readonly runs: readonly Run[];
  readonly feeds: readonly Feed[];
  readonly bonds: readonly Bond[];
  readonly measurements: readonly Measurement[];
}

type Member = Supply | Board | Controller | Run | Feed | Bond;

/** Splits the plan into islands, in the order of their first member. */
export function islandsOf(plan: Plan): Island[] {
  const parent = new Map<Member, Member>();
  const root = (member: Member): Member => {
    let at = member;
    for (let up = parent.get(at); up !== undefined && up !== at; up = parent.get(at)) at = up;
    return at;
  };
  const join = (a: Member, b: Member | undefined) => {
    if (b === undefined) return;
    const [from, to] = [root(b), root(a)];
    if (from !== to) parent.set(from, to);
  };
  for (const board of plan.boards.values()) join(board, board.from.supply);
  for (const controller of plan.controllers.values()) join(controller, controller.from?.supply);
  for (const controller of plan.controllers.values())
    if (controller.link?.cable.cores.has('ground')) join(controller, controller.link.from);
  for (const run of plan.runs.values()) join(run, run.controller);
  for (const feed of plan.feeds.values()) {
    join(feed, feed.from?.supply);
    for (const piece of feed.pieces) if (piece.kind === 'tap') join(feed, piece.tap.run);
  }
  for (const bond of plan.bonds.values()) {
    join(bond, bond.from);
    join(bond, bond.to);
  }
  const groups = new Map<Member, { [K in keyof Island]: Island[K][number][] }>();
  const groupOf = (member: Member) => {
    const key = root(member);
    let group = groups.get(key);
    if (group === undefined) {
      group = { supplies: [], boards: [], controllers: [], runs: [], feeds: [], bonds: [], measurements: [] };
      groups.set(key, group);
    }
    return group;
  };
  for (const supply of plan.supplies.values()) groupOf(supply).supplies.push(supply);
  for (const board of plan.boards.values()) groupOf(board).boards.push(board);
  for (const controller of plan.controllers.values()) groupOf(controller).controllers.push(controller);
  for (const run of plan.runs.values()) groupOf(run).runs.push(run);
  for (const feed of plan.feeds.values()) groupOf(feed).feeds.push(feed);
  for (const bond of plan.bonds.values()) groupOf(bond).bonds.push(bond);
  for (const measurement of plan.measurements) groupOf(measurement.tap.run).measurements.push(measurement);
  return [...groups.values()].map((group) => ({
    supplies: exact(group.supplies),
    boards: exact(group.boards),
    controllers: exact(group.controllers),
    runs: exact(group.runs),
    feeds: exact(group.feeds),
    bonds: exact(group.bonds),
    measurements: exact(group.measurements),
  }));
}
