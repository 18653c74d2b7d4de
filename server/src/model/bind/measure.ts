import type { Quantity, Word } from '#grammar/ast.ts';
import { sure } from '#grammar/sure.ts';
import { DIMENSIONS, type Dimension, toSi, UNITS } from '#grammar/units.ts';
import { type Binding, originOf } from '../binding.ts';
import type { Measure } from '../bound.ts';
import type { Fix, Origin } from '../finding.ts';
import { closest } from '../spelling.ts';

/**
 * The SI value of a quantity of one of the dimensions due, or none after a report. `next` is the word behind the
 * quantity if it means nothing else on its line: a bare number takes it for a unit that was misspelt.
 */
export function measureOf(
  ctx: Binding,
  item: Quantity,
  due: readonly Dimension[],
  next: Word | undefined,
): { measure: Measure | undefined; tookUnit: boolean } {
  const si = toSi(item.terms);
  const text = ctx.declaration.text.slice(item.span.start, item.span.end);
  const example = DIMENSIONS[sure(due[0])].example;
  const names = due.map((dimension) => DIMENSIONS[dimension].name).join(' or ');
  const isDue = `${names.charAt(0).toUpperCase()}${names.slice(1)} is due here, for example ${example}.`;
  if (si !== undefined && due.includes(si.dimension)) {
    return { measure: { si: si.value, dimension: si.dimension }, tookUnit: false };
  }
  if (si !== undefined) {
    const message = `${text} is ${DIMENSIONS[si.dimension].name}. ${isDue}`;
    ctx.report({ code: 'wrong-dimension', origin: originOf(ctx, item.span), message });
    return { measure: undefined, tookUnit: false };
  }
  const bare = item.terms.some((term) => term.unit === undefined);
  if (bare && next !== undefined && next.steps.length === 0 && next.text.length <= LONGEST_UNIT) {
    const origin = originOf(ctx, next.span);
    const message = `"${next.text}" is not a unit that Festoon knows. ${isDue}`;
    const near = closest(next.text, unitsOf(due));
    const fixes =
      near === undefined ? [] : [{ title: `Write ${near}`, edits: [{ origin, text: near }], preferred: true }];
    ctx.report({ code: 'unknown-unit', origin, message, fixes });
    return { measure: undefined, tookUnit: true };
  }
  ctx.report({
    code: 'missing-unit',
    origin: originOf(ctx, item.span),
    message: `${text} has no unit. ${isDue}`,
    fixes: unitFixes(originOf(ctx, { start: item.span.end, end: item.span.end }), text, due),
  });
  return { measure: undefined, tookUnit: false };
}

/** A longer word is not meant as a unit. */
const LONGEST_UNIT = 6;

function unitFixes(origin: Origin, text: string, due: readonly Dimension[]): Fix[] {
  const units = unitsOf(due);
  return units.slice(0, 3).map((unit) => ({
    title: `Write ${text} ${unit}`,
    edits: [{ origin, text: ` ${unit}` }],
    // Which unit was meant is a guess wherever there is more than one.
    preferred: units.length === 1,
  }));
}

/** Units of the dimensions, the customary one first. */
function unitsOf(dimensions: readonly Dimension[]): string[] {
  const customary = dimensions.map((dimension) => DIMENSIONS[dimension].unit);
  const others = [...UNITS].filter(([, unit]) => dimensions.includes(unit.dimension)).map(([name]) => name);
  return [...new Set([...customary, ...others])];
}
