import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const feedUnfused: Check = {
  code: 'feed-unfused',
  hazard: true,
  level: 'error',
  title: 'A feed or a board hangs on an output without a fuse',
  needs: needs.startedAtOutputs,
  explanation: `Every feed is fused at the supply end, and so is the cable to a controller. Without a fuse a pinched cable takes all that the supply can give, and that is
enough to start a fire.

What helps: write the fuse where the output is: \`output 2  fuse 7.5 A\`, and fit it.`,
  run: ({ plan }, report) => {
    for (const feed of plan.feeds.values()) {
      if (feed.from === undefined || feed.from.fuse !== undefined) continue;
      report({
        code: 'feed-unfused',
        origin: feed.fromOrigin ?? feed.origin,
        message: `${feed.from.supply.name}.${feed.from.number} has no fuse. Fuse every feed at the supply end.`,
        related: [{ origin: feed.from.origin, message: 'The output.' }],
      });
    }
    for (const controller of plan.controllers.values()) {
      if (controller.from === undefined || controller.from.fuse !== undefined) continue;
      report({
        code: 'feed-unfused',
        origin: controller.fromOrigin ?? controller.origin,
        message: `${controller.from.supply.name}.${controller.from.number} has no fuse. Fuse the cable to ${controller.name} at the supply end.`,
        related: [{ origin: controller.from.origin, message: 'The output.' }],
      });
    }
  },
};
