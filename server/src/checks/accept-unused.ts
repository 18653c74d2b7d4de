import type { Check } from './check.ts';
import * as needs from './needs.ts';

/** Found where findings are accepted (analysis/accept.ts), since only there all of them are known. */
export const acceptUnused: Check = {
  code: 'accept-unused',
  level: 'information',
  title: 'An accept line that accepts nothing',
  needs: needs.acceptances,
  explanation: `An \`accept\` line takes a finding out of sight, with a reason. This one meets no finding: the plan has been
mended since, the code is another one, or the finding is on another thing. A line that is kept for nothing may one day
hide something that nobody knows of. Take it out.`,
};
