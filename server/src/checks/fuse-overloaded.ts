import type { Account } from '../model/account.ts';
import { outputText, usersOf } from '../model/outputs.ts';
import { amps, rating, share, shareBeside } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const fuseOverloaded: Check = {
  code: 'fuse-overloaded',
  level: 'error',
  ofLoad: true,
  title: 'An output carries more than its fuse should',
  needs: needs.fusedOutputs,
  explanation: `A fuse carries its rating only at room temperature and with a good holder. For a load that lasts all evening it
is used to at most 80 % (common practice; fuse makers say 75 to 80 %). Above its rating it blows in time.

What helps: move a feed to another output, use a larger fuse if the wire behind it allows it, or light less.`,
  run: ({ plan, account }, report) => {
    for (const [output, load] of account.outputs) {
      if (output.fuse === undefined) continue;
      const limit = output.fuse.amps * plan.design.fuseShare.value;
      if (!exceeds(load, limit)) continue;
      const name = outputText(output);
      const users = usersOf(plan, output);
      report({
        code: 'fuse-overloaded',
        excess: load / limit - 1,
        level: exceeds(load, output.fuse.amps) ? 'error' : 'warning',
        origin: output.fuse.origin,
        subject: name,
        message: `The ${rating(output.fuse.amps)} fuse of ${name} carries ${amps(load)}, ${shareBeside(load / output.fuse.amps, plan.design.fuseShare.value)} of its rating; ${share(plan.design.fuseShare.value)} (${amps(limit)}) is the most for a load that lasts. ${advice(users)}`,
        related: users.map((user) => ({
          origin: user.fromOrigin ?? user.origin,
          message: `${user.name} takes ${drawn(account, user)} from here.`,
        })),
      });
    }
  },
};

function advice(users: ReturnType<typeof usersOf>): string {
  const [first, second] = users;
  if (first !== undefined && second === undefined) {
    if (first.kind === 'board')
      return `Move a feed from ${first.name} to another board, or use a larger fuse if the cable to ${first.name} allows it.`;
    if (first.kind === 'controller')
      return `Inject power into the runs of ${first.name} from other outputs, or use a larger fuse if its wire allows it.`;
    return `Only ${first.name} hangs on it: use a larger fuse if its cable allows it, or feed a part of what it feeds from another output.`;
  }
  if (users.every((user) => user.kind === 'feed')) return 'Move a feed to another output.';
  return 'Move something to another output.';
}

function drawn(account: Account, user: ReturnType<typeof usersOf>[number]): string {
  const load =
    user.kind === 'feed'
      ? account.feeds.get(user)?.amps
      : user.kind === 'board'
        ? account.boards.get(user)?.cable.positive
        : undefined;
  return load === undefined ? 'what it needs' : amps(load);
}
