import { outputText, protectedBy } from '../model/outputs.ts';
import type { Board } from '../model/plan.ts';
import { rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

/** Share of its rating at which an enclosed supply has folded back for certain: makers' sheets, 105 to 135 %. */
const SUPPLY_GIVES = 1.35;

export const feedUnfused: Check = {
  code: 'feed-unfused',
  hazard: true,
  level: 'error',
  title: 'A feed or a board hangs on an output without a fuse',
  needs: needs.startedAtOutputs,
  explanation: `Every feed is fused at the supply end, and so is the cable to a controller. Without a fuse a pinched cable takes all that the supply can give, and that is
enough to start a fire. A fuse further up, in front of a fused board, counts too.

The cable from the terminals of a supply to a fused board may do without, where it is good for all that the supply can give:
135 % of its rating, at which makers' sheets say that it has folded back.

What helps: write the fuse where the output is: \`output 2  fuse 7.5 A\`, and fit it.`,
  run: ({ plan }, report) => {
    for (const feed of plan.feeds.values()) {
      if (feed.from === undefined || protectedBy(feed.from) !== undefined) continue;
      report({
        code: 'feed-unfused',
        origin: feed.fromOrigin ?? feed.origin,
        subject: feed.name,
        message: `${outputText(feed.from)} has no fuse. Fuse every feed at the supply end.`,
        related: [{ origin: feed.from.origin, message: 'The output.' }],
        restsOn: [feed.from.origin],
      });
    }
    for (const controller of plan.controllers.values()) {
      if (controller.from === undefined || protectedBy(controller.from) !== undefined) continue;
      report({
        code: 'feed-unfused',
        origin: controller.fromOrigin ?? controller.origin,
        subject: controller.name,
        message: `${outputText(controller.from)} has no fuse. Fuse the cable to ${controller.name} at the supply end.`,
        related: [{ origin: controller.from.origin, message: 'The output.' }],
        restsOn: [controller.from.origin],
      });
    }
    for (const board of plan.boards.values()) {
      if (protectedBy(board.from) !== undefined || standsAll(board)) continue;
      const rated = board.cable.rated;
      const most = board.from.supply.part?.rated;
      const why =
        rated === undefined || most === undefined
          ? ''
          : ` and ${board.cable.name} carries ${rating(rated.value * board.parallel)}, less than the ${rating(most * SUPPLY_GIVES)} that ${board.from.supply.name} may give (135 %)`;
      report({
        code: 'feed-unfused',
        origin: board.fromOrigin,
        subject: board.name,
        message: `${outputText(board.from)} has no fuse${why}. Fuse the cable to ${board.name} at the supply end${why === '' ? '' : ', or use a thicker one'}.`,
        related: [{ origin: board.from.origin, message: 'The output.' }],
        restsOn: [board.from.origin],
      });
    }
  },
};

/** The cable to the board carries all that the supply can give. */
function standsAll(board: Board): boolean {
  const most = board.from.supply.part?.rated;
  const rated = board.cable.rated?.value;
  return most !== undefined && rated !== undefined && !exceeds(most * SUPPLY_GIVES, rated * board.parallel);
}
