import { FUSE_RATINGS } from '../model/fuses.ts';
import { outputText, protectedBy, usersOf } from '../model/outputs.ts';
import type { Board, Output } from '../model/plan.ts';
import { rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

/** Ratio of two fuses in a row from which the smaller one opens alone: gG fuses of IEC 60269-2, from memory. */
const RATIO = 1.6;

export const mainFuseSmall: Check = {
  code: 'main-fuse-small',
  level: 'warning',
  title: 'The fuse of a board is hardly larger than those on it',
  explanation: `A short circuit behind one output of a board should blow the fuse of that output and leave the others lit. When the
fuse that feeds the board is of about the same size, it may blow first or with it, and the whole board goes dark. A ratio of
1.6 to 1 is what IEC 60269-2 counts on for industrial fuses (from memory); no standard promises as much for blade fuses,
so more is better.

What helps: a larger fuse in front of the board, if its cable allows that, or smaller ones on it, or no board for so few.`,
  run: ({ plan }, report) => {
    for (const board of plan.boards.values()) {
      const main = protectedBy(board.from);
      const largest = largestOn(board, (output) => usersOf(plan, output).length > 0);
      if (main === undefined || largest?.fuse === undefined) continue;
      const least = largest.fuse.amps * RATIO;
      if (!exceeds(least, main.fuse.amps)) continue;
      const most = (board.cable.rated?.value ?? Number.POSITIVE_INFINITY) * board.parallel;
      const better = FUSE_RATINGS.find((size) => !exceeds(least, size) && !exceeds(size, most));
      report({
        code: 'main-fuse-small',
        origin: board.fromOrigin,
        subject: board.name,
        message: `The ${rating(main.fuse.amps)} fuse of ${outputText(main)} feeds a board with a ${rating(largest.fuse.amps)} fuse at ${outputText(largest)}: a short circuit there may blow it first, and all of ${board.name} goes dark. ${better === undefined ? 'Use smaller fuses on the board, or a thicker cable and a larger fuse in front of it.' : `Use ${rating(better)} in front of the board (1.6 times, IEC 60269-2).`}`,
        related: [
          { origin: main.fuse.origin, message: 'The fuse in front of the board.' },
          { origin: largest.fuse.origin, message: 'The largest fuse in use on it.' },
        ],
      });
    }
  },
};

function largestOn(board: Board, isUsed: (output: Output) => boolean): Output | undefined {
  let largest: Output | undefined;
  for (const output of board.outputs.values()) {
    if (output.fuse === undefined || !isUsed(output)) continue;
    if (output.fuse.amps > (largest?.fuse?.amps ?? 0)) largest = output;
  }
  return largest;
}
