import { linkLength } from '../model/links.ts';
import { metres } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

export const linkTooLong: Check = {
  code: 'link-too-long',
  level: 'warning',
  title: 'A link is longer than its receiver can be counted on for',
  explanation: `A differential link over a pair of network cable reaches far, but not without end: the pairs damp the fast edges. The
limit is the receiver's \`link-limit\`; where it has none, 100 m (common practice, the length of a network segment).
Where one receiver goes on from another, the whole way from the controller counts.

What helps: a shorter way, or a controller nearer to the props.`,
  run: ({ plan }, report) => {
    for (const { name, link, part } of plan.controllers.values()) {
      const limit = part?.linkLimit;
      if (link === undefined || limit === undefined) continue;
      const whole = linkLength(link);
      if (!exceeds(whole, limit.value)) continue;
      const { units } = plan.design;
      report({
        code: 'link-too-long',
        excess: whole / limit.value - 1,
        origin: link.lengthOrigin,
        subject: name,
        message: `${name} is ${metres(whole, units)} of link from ${link.source.name}; ${part?.name ?? ''} is good for ${metres(limit.value, units)} (${limit.source}). Shorten the way, or put a controller nearer.`,
      });
    }
  },
};
