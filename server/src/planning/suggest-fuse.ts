import type { SuggestContext } from '../checks/check.ts';
import type { Finding, Fix } from '../model/finding.ts';
import { FUSE_RATINGS } from '../model/fuses.ts';
import type { Output } from '../model/plan.ts';
import { rating } from '../model/texts.ts';
import { closes } from './holds.ts';

/** Suggests the smallest fuse that carries the load of an output and still protects every cable behind it. */
export function suggestFuse(ctx: SuggestContext, finding: Finding): readonly Fix[] {
  const output = outputNamed(ctx, finding.subject ?? '');
  const fuse = output?.fuse;
  if (output === undefined || fuse === undefined || sharesLine(output)) return [];
  for (const amps of FUSE_RATINGS) {
    if (amps <= fuse.amps) continue;
    const edits = [{ origin: fuse.origin, text: rating(amps) }];
    if (closes(ctx, finding, edits) !== undefined)
      return [{ title: `Use a ${rating(amps)} fuse for ${finding.subject}`, edits, preferred: true }];
  }
  return [];
}

function outputNamed({ plan }: SuggestContext, name: string): Output | undefined {
  const dot = name.lastIndexOf('.');
  return plan.supplies.get(name.slice(0, dot))?.outputs.get(Number(name.slice(dot + 1)));
}

/** Other outputs stand on the same line of the plan, so that an edit would change their fuses too. */
function sharesLine(output: Output): boolean {
  return [...output.supply.outputs.values()].some(
    (other) => other !== output && other.fuse !== undefined && other.fuse.origin.start === output.fuse?.origin.start,
  );
}
