import type { Check } from './check.ts';

export const feedUnfused: Check = {
  code: 'feed-unfused',
  level: 'error',
  title: 'A feed starts at an output without a fuse',
  explanation: `Every feed is fused at the supply end. Without a fuse a pinched cable takes all that the supply can give, and that is
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
  },
};
