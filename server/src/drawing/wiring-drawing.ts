import type { Account } from '../model/account.ts';
import { groupBy } from '../model/group-by.ts';
import type { Controller, Plan, Run } from '../model/plan.ts';
import { runLane } from './run-lane.ts';
import { type Drawing, label, line, type Shape } from './shape.ts';

const WIDTH = 960;

/** The wiring of each run as a drawing of its own, in the order of the boards: paper can be turned between them. */
export function laneDrawings(
  plan: Plan,
  account: Account,
  width = WIDTH,
  isDrawn: (run: Run) => boolean = () => true,
): Drawing[] {
  return runsByBoard(plan).flatMap(({ runs }) =>
    runs.filter(isDrawn).map((run) => {
      const lane = runLane(plan, account, run, 4, width);
      return { title: `Wiring of ${run.name}`, width, height: lane.bottom, shapes: lane.shapes };
    }),
  );
}

/** The one-line wiring of a display: every run with its port, its strings and the feeds that join it, board by board. */
export function wiringDrawing(plan: Plan, account: Account, most = Number.POSITIVE_INFINITY, width = WIDTH): Drawing {
  let left = most;
  const shapes: Shape[] = [];
  let top = 4;
  for (const { board, runs } of runsByBoard(plan)) {
    const where = board?.place === undefined ? '' : `, ${board.place.label ?? board.place.name}`;
    shapes.push({ ...label(0, top + 14, `${board?.name ?? 'No board'}${where}`), strong: true });
    shapes.push(line(0, top + 20, width, top + 20, 'ink'));
    top += 30;
    for (const run of runs) {
      if (left-- <= 0) break;
      const lane = runLane(plan, account, run, top, width);
      shapes.push(...lane.shapes);
      top = lane.bottom + 8;
    }
    top += 10;
  }
  return { title: `Wiring of ${plan.design.title ?? 'the display'}`, width, height: Math.max(40, top), shapes };
}

function runsByBoard(plan: Plan): { board: Controller | undefined; runs: Run[] }[] {
  return [...groupBy(plan.runs.values(), (run) => run.controller)].map(([board, runs]) => ({ board, runs }));
}
