import type { MAST } from '#grammar/words/mast.ts';
import type { Bound } from '../bound.ts';
import { type CommonBuild, lineOf, namedBy, siSetting } from './context.ts';

/** A mast with all that its figures need; what is missing was reported when it was bound. */
export function addMast(build: CommonBuild, statement: Bound<typeof MAST>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const place = build.places.refer(statement.fields.place);
  const height = lineOf(statement.block, 'height')?.fields.height;
  const sail = lineOf(statement.block, 'sail')?.fields;
  const wind = lineOf(statement.block, 'wind')?.fields.speed;
  const guys = lineOf(statement.block, 'guys')?.fields;
  if (height === undefined || sail?.area === undefined || wind === undefined) return;
  if (guys?.count === undefined || guys.height === undefined || guys.radius === undefined) return;
  for (const given of [guys.height, sail.centre]) {
    if (given === undefined || given.value.si <= height.value.si) continue;
    build.report({
      code: 'impossible-value',
      origin: given.origin,
      message: `${given.text} is above the top of the mast, which is ${height.text} high.`,
    });
    return;
  }
  build.masts.add({
    kind: 'mast',
    ...named,
    place,
    height: height.value.si,
    wind: wind.value.si,
    sail: {
      area: sail.area.value.si,
      drag:
        sail.drag === undefined
          ? {
              value: 1.2,
              origin: undefined,
              source: 'a smooth cylinder below its critical speed, from memory (Hoerner)',
            }
          : { value: sail.drag.value, origin: sail.drag.origin, source: 'stated in the plan' },
      centre: siSetting(sail.centre) ?? {
        value: height.value.si / 2,
        origin: undefined,
        source: 'half of the height: an even sail from foot to top',
      },
    },
    guys: {
      count: guys.count.value,
      height: guys.height.value.si,
      radius: guys.radius.value.si,
      rated: siSetting(guys.rated),
    },
    anchor: siSetting(lineOf(statement.block, 'anchor')?.fields.rated),
  });
}
