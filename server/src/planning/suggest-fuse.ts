import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import type { Finding, Fix } from '../model/finding.ts';
import { FUSE_RATINGS } from '../model/fuses.ts';
import { outputsOf, outputText, ownerOf } from '../model/outputs.ts';
import type { Output } from '../model/plan.ts';
import type { Steps } from '../model/steps.ts';
import { rating } from '../model/texts.ts';
import { closes } from './holds.ts';
import { sameLine } from './outputs.ts';

/** Suggests the smallest fuse that carries the load of an output and still protects every cable behind it. */
export function* suggestFuse(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const output = outputNamed(ctx, sure(finding.subject));
  const fuse = output?.fuse;
  // An edit of a line that gives several outputs would change the fuses of all of them.
  if (output === undefined || fuse === undefined || sameLine(ownerOf(output), output).length > 1) return [];
  for (const amps of FUSE_RATINGS) {
    if (amps <= fuse.amps) continue;
    const edits = [{ origin: fuse.origin, text: rating(amps) }];
    yield;
    if (closes(ctx, finding, edits) !== undefined)
      return [{ title: `Use a ${rating(amps)} fuse for ${finding.subject}`, edits, preferred: true }];
  }
  return [];
}

function outputNamed({ plan }: SuggestContext, name: string): Output | undefined {
  return outputsOf(plan).find((output) => outputText(output) === name);
}
