import { amps, rating, share, shareBeside } from '../model/texts.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const fuseOverloaded: Check = {
  code: 'fuse-overloaded',
  level: 'error',
  title: 'An output carries more than its fuse should',
  needs: needs.fusedOutputs,
  explanation: `A fuse carries its rating only at room temperature and with a good holder. For a load that lasts all evening it
is used to at most 80 % (common practice; fuse makers say 75 to 80 %). Above its rating it blows in time.

What helps: move a feed to another output, use a larger fuse if the wire behind it allows it, or light less.`,
  run: ({ plan, account }, report) => {
    for (const [output, load] of account.outputs) {
      if (output.fuse === undefined) continue;
      const limit = output.fuse.amps * plan.design.fuseShare.value;
      if (load <= limit * (1 + 1e-9)) continue;
      const name = `${output.supply.name}.${output.number}`;
      const users = [...plan.feeds.values()].filter((feed) => feed.from === output);
      report({
        code: 'fuse-overloaded',
        excess: load / limit - 1,
        level: load > output.fuse.amps ? 'error' : 'warning',
        origin: output.fuse.origin,
        subject: name,
        message: `The ${rating(output.fuse.amps)} fuse of ${name} carries ${amps(load)}, ${shareBeside(load / output.fuse.amps, plan.design.fuseShare.value)} of its rating; ${share(plan.design.fuseShare.value)} (${amps(limit)}) is the most for a load that lasts. Move a feed to another output.`,
        related: users.slice(0, 8).map((feed) => ({
          origin: feed.fromOrigin ?? feed.origin,
          message: `${feed.name} takes ${amps(account.feeds.get(feed)?.amps ?? 0)} from here.`,
        })),
      });
    }
  },
};
