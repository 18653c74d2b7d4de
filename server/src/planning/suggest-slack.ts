import type { SuggestContext } from '../checks/check.ts';
import { cableStep, roundedUp } from '../model/cut-lengths.ts';
import type { Finding, Fix } from '../model/finding.ts';
import { statedCables } from '../model/stated-cables.ts';
import type { Steps } from '../model/steps.ts';
import { metres } from '../model/texts.ts';
import { closes } from './holds.ts';

/** Suggests to write a length that reaches along the way, with slack at both ends, for all cables of a statement that are too short. */
export function* suggestSlack(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const { design } = ctx.plan;
  const longer = statedCables(ctx.plan).flatMap(({ length, stated }) => {
    const least = stated.way + 2 * design.slack.value;
    if (stated.lengthOrigin.declaration !== finding.origin.declaration || length >= least - 1e-6) return [];
    const whole = roundedUp(least, cableStep(design));
    return [{ stated, more: whole - length, text: metres(whole, design.units) }];
  });
  const edits = longer.map(({ stated, text }) => ({ origin: stated.lengthOrigin, text }));
  const [first] = longer;
  if (first === undefined) return [];
  yield;
  if (closes(ctx, finding, edits) === undefined) return [];
  const more = metres(
    longer.reduce((sum, each) => sum + each.more, 0),
    design.units,
  );
  const title =
    longer.length === 1
      ? `Write ${first.text}, ${more} more: its way and slack at both ends`
      : `Make ${longer.length} cables longer, ${more} together: their ways and slack at both ends`;
  return [{ title, edits, preferred: true }];
}
