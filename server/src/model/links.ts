import type { Controller, Link, Run } from './plan.ts';

/** What goes for controllers and for the receivers that bring their ports elsewhere. */

/** The port that drives a run, and where its data come from: the same port, or that of a controller at the far end of links. */
export interface Driver {
  /** What the run's lead is plugged into: its raw data, ground and V+ come from here. */
  readonly board: Controller;
  readonly port: number;
  /** The controller that makes the data, and its port; the same as the above where no link is between. */
  readonly source: Controller;
  readonly sourcePort: number;
}

/** What drives a run; undefined where it or its link could not be read. */
export function driverOf(run: Run): Driver | undefined {
  const { controller: board, port } = run;
  if (board === undefined || port === undefined) return undefined;
  if (!board.isReceiver) return { board, port, source: board, sourcePort: port };
  const { link } = board;
  return link === undefined ? undefined : { board, port, source: link.source, sourcePort: link.firstPort + port - 1 };
}

/** The controller that makes the data of a run; a receiver whose link could not be read stands for it. */
export function sourceOf({ controller: board, port }: Run): Controller | undefined {
  return board?.isReceiver === true && port !== undefined ? (board.link?.source ?? board) : board;
}

/** The boards that data pass on their way to a board's ports, itself first. */
export function boardsTo(board: Controller): Controller[] {
  const found: Controller[] = [];
  for (let at: Controller | undefined = board; at !== undefined; at = at.link?.from) found.push(at);
  return found;
}

/** m of link from the controller that makes the data. */
export function linkLength(link: Link): number {
  return link.length + (link.from.link === undefined ? 0 : linkLength(link.from.link));
}

/** The ports of its source that a receiver takes; none where it goes on from another receiver and shares what that takes. */
export function takenPorts({ link, part }: Controller): number[] {
  if (link === undefined || link.from.isReceiver) return [];
  return Array.from({ length: part?.ports ?? 1 }, (_, index) => link.firstPort + index);
}
