import { isFixture, tapTextOf, unitOf } from '../model/fixtures.ts';
import type { Named, Plan, Run } from '../model/plan.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';
import { isDark } from './string-state.ts';
import { tapsRun } from './wrong-voltage.ts';

export const noPower: Check = {
  code: 'no-power',
  level: 'error',
  title: 'Pixels that no supply reaches',
  needs: needs.solvedRuns,
  explanation: `These pixels have no V+ or no way back to a supply: the port passes data only, a lead has no V+ conductor, or V+ is cut
and nothing is fed behind the cut.

Panels and floods have a power plug each; nothing passes V+ on from one to the next.

What helps: a feed to the run (\`feed … to run[1]\`), behind each cut too.`,
  run: ({ plan, account }, report) => {
    for (const run of account.runs.values()) {
      const dark = run.strings.find(isDark);
      if (dark === undefined) continue;
      const { part, first } = dark.piece;
      const restsOn = mayFeed(plan, run.run).map((thing) => thing.whole);
      if (isFixture(part)) {
        const all = run.strings.filter(isDark).length;
        const unit = unitOf(part);
        report({
          code: 'no-power',
          origin: dark.piece.origin,
          subject: run.run.name,
          restsOn,
          message: `No supply reaches ${unit} ${first} of ${run.run.name}${all > 1 ? ` (${all} of ${run.strings.length} have no power)` : ''}: every ${unit} has a power plug of its own. Feed it: feed ${run.run.name}-feed  from …  to ${tapTextOf(run.run, dark.piece)}  5 m of …`,
        });
        continue;
      }
      report({
        code: 'no-power',
        origin: dark.piece.origin,
        subject: run.run.name,
        restsOn,
        message: `No supply reaches ${run.run.name} from pixel ${dark.piece.first} on. Feed it: feed ${run.run.name}-feed  from …  to ${run.run.name}[${dark.piece.first}]  5 m of …`,
      });
    }
  },
};

/**
 * What brings power to a run, or would if it could be read: itself, its controller, its feeds, and their supplies. A feed
 * that could not be read has no pieces, and may have been meant for any run of its group.
 */
function mayFeed(plan: Plan, run: Run): Named[] {
  const feeds = [...plan.feeds.values()].filter((feed) => feed.pieces.length === 0 || tapsRun(feed, run));
  const outputs = [run.controller?.from, ...feeds.map((feed) => feed.from)];
  const things = [run, run.controller, ...feeds, ...outputs.map((output) => output?.supply)];
  return things.filter((thing) => thing !== undefined);
}
