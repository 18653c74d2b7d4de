import { exact } from '#grammar/exact.ts';
import { sure } from '#grammar/sure.ts';
import type { PROP, RUN } from '#grammar/words/runs.ts';
import type { Bound, Given, Reference } from '../bound.ts';
import type { Origin } from '../finding.ts';
import type { Controller, GapLine, StringLine } from '../plan.ts';
import { statedWay } from '../stated-cables.ts';
import { type Build, type CommonBuild, cableLength, namedBy, placesOf } from './context.ts';
import { pinOf } from './data.ts';
import { layOutPanels } from './fixtures.ts';
import { Layout } from './layout.ts';

/** Props and runs: lines of pixels laid out in data order. */

/** m of wire that a dark pixel brings along where the plan does not say (common practice). */
const NULL_PITCH = 0.1;

type StringBound = Extract<
  Bound<typeof PROP>['block'][number],
  { word: 'string' | 'outline' | 'arch' | 'star' | 'ring' | 'matrix' | 'tree' | 'null' }
>;

export function addProp(build: CommonBuild, statement: Bound<typeof PROP>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const elements = new Map<string, Origin>();
  const lines = statement.block.flatMap((line): (StringLine | GapLine)[] => {
    if ('name' in line && line.name !== undefined) remember(build, elements, line.name);
    if (line.word === 'gap') {
      const { length, cable } = line.fields;
      if (length === undefined) return [];
      return [{ kind: 'gap', length: length.value.si, cable: build.cables.refer(cable), origin: line.line }];
    }
    const found = stringLine(build, line);
    return found === undefined ? [] : [found];
  });
  build.props.add({ kind: 'prop', ...named, lines });
}

function stringLine(build: CommonBuild, line: StringBound): StringLine | undefined {
  const part = build.pixels.refer(line.fields.part);
  const { pixels } = line.fields;
  const label = 'label' in line.fields ? line.fields.label : undefined;
  const pitch = line.fields.pitch?.value.si ?? (line.word === 'null' ? NULL_PITCH : undefined);
  if (pixels === undefined || pitch === undefined || line.fields.part === undefined) return undefined;
  const strands = line.word === 'matrix' || line.word === 'tree' ? line.fields.strands : undefined;
  if ((line.word === 'matrix' || line.word === 'tree') && strands === undefined) return undefined;
  const spacing = line.word === 'matrix' || line.word === 'tree' ? line.fields.spacing : undefined;
  const across = spacing?.value.si ?? pitch;
  const back = line.word === 'matrix' || line.word === 'tree' ? wayBack(build, line.fields) * pixels.value.si : 0;
  return {
    kind: 'string',
    keyword: line.word,
    name: line.name?.text,
    label: label?.value,
    strands: strands?.value.si ?? 1,
    perStrand: pixels.value.si,
    part,
    pitch,
    spacing: back * pitch + across,
    across,
    noTap: 'noTap' in line.fields,
    origin: line.name?.origin ?? line.keyword,
    partOrigin: line.fields.part.origin,
    countOrigin: pixels.origin,
  };
}

/** Strands that wire leads back along between one and the next: none, or one where all run the same way. */
function wayBack(
  build: CommonBuild,
  { straight, serpentine }: { readonly straight?: Given<true>; readonly serpentine?: Given<true> },
): 0 | 1 {
  if (straight === undefined) return 0;
  if (serpentine === undefined) return 1;
  build.report({
    code: 'unexpected-word',
    origin: straight.origin,
    message: 'Strands are wired serpentine or straight, not both; serpentine holds. Take one of the two out.',
  });
  return 0;
}

export function addRun(build: Build, statement: Bound<typeof RUN>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { from, place } = statement.fields;
  const port = portOf(build, from);
  const layout = new Layout(build, named.name, named.origin);
  const elements = new Map<string, Origin>();
  for (const line of statement.block) {
    if ('name' in line && line.name !== undefined) remember(build, elements, line.name);
    layOut(build, layout, line);
  }
  if (layout.pixelCount === 0 && statement.block.every((line) => ['lead', 'gap', 'cut'].includes(line.word))) {
    build.report({
      code: 'empty-run',
      origin: named.origin,
      restsOn: [named.whole],
      message: `${named.name} has no pixels yet. Write in its block: string 50 px of … every 75 mm`,
    });
  }
  build.runs.add({
    kind: 'run',
    ...named,
    controller: port?.controller,
    port: port?.number,
    portOrigin: from?.origin,
    place: build.places.refer(place),
    pieces: exact(layout.pieces),
    pixelCount: layout.pixelCount,
    pin: pinOf(build, statement.fields),
    noTap: statement.fields.noTap !== undefined,
  });
}

function layOut(build: Build, layout: Layout, line: Bound<typeof RUN>['block'][number]): void {
  switch (line.word) {
    case 'lead': {
      const path = placesOf(build, line.fields.path);
      const cable = build.cables.refer(line.fields.cable);
      if (line.fields.cable === undefined) return;
      const length = cableLength(
        build,
        line.fields.length,
        path,
        line.fields.path?.origin ?? line.keyword,
        'lead',
        line.said,
      );
      if (length === undefined || cable?.conductor === undefined) return;
      if (layout.pixelCount > 0) {
        build.report({
          code: 'stray-line',
          origin: line.keyword,
          message: 'The lead comes before the first pixel; between strings write "gap".',
        });
        return;
      }
      const lengthOrigin = sure(line.fields.length ?? line.fields.path).origin;
      const stated = statedWay(build.routes, line.fields.length, path);
      layout.add({ kind: 'lead', length, cable, path, ...(stated && { stated }), origin: line.line, lengthOrigin });
      return;
    }
    case 'gap': {
      if (line.fields.length === undefined) return;
      layout.gap({
        kind: 'gap',
        length: line.fields.length.value.si,
        cable: build.cables.refer(line.fields.cable),
        origin: line.line,
      });
      return;
    }
    case 'cut':
      layout.add({ kind: 'cut', origin: line.line });
      return;
    case 'copies':
      layOutCopies(build, layout, line);
      return;
    case 'panels':
      layOutPanels(build, layout, line);
      return;
    default: {
      const found = stringLine(build, line);
      if (found !== undefined) layout.string(found, found.name, undefined);
    }
  }
}

function layOutCopies(
  build: Build,
  layout: Layout,
  line: Extract<Bound<typeof RUN>['block'][number], { word: 'copies' }>,
): void {
  const prop = build.props.refer(line.fields.prop);
  const { count, gap, cable } = line.fields;
  if (prop === undefined || count === undefined) return;
  const through = build.cables.refer(cable);
  const name = line.name?.text ?? prop.name;
  for (let number = 1; number <= count.value; number++) {
    if (number > 1 && gap !== undefined)
      layout.gap({ kind: 'gap', length: gap.value.si, cable: through, origin: line.line });
    for (const part of prop.lines) {
      if (part.kind === 'gap') layout.gap(part);
      else layout.string(part, part.name, { name, number }, line.name?.origin ?? line.keyword);
    }
    if (layout.full) return;
  }
}

function remember(build: CommonBuild, elements: Map<string, Origin>, name: { text: string; origin: Origin }): void {
  if (name.text === 'start' || name.text === 'end') {
    build.report({
      code: 'duplicate-name',
      origin: name.origin,
      message: `Every run has its own "${name.text}", so a string cannot go by that name. Call it something else.`,
    });
    return;
  }
  const before = elements.get(name.text);
  if (before === undefined) {
    elements.set(name.text, name.origin);
    return;
  }
  build.report({
    code: 'duplicate-name',
    origin: name.origin,
    message: `"${name.text}" is already in this block. Give this one another name, so that it can be told apart.`,
    related: [{ origin: before, message: 'The first one.' }],
  });
}

/** The controller and port that `box.1` names. */
export function portOf(
  build: Build,
  given: Given<Reference> | undefined,
): { controller: Controller; number: number } | undefined {
  const controller = build.controllers.refer(given);
  if (controller === undefined || given === undefined) return undefined;
  const step = given.value.steps[0];
  const number = step?.kind === 'member' ? Number(step.name) : Number.NaN;
  const most = controller.part?.ports ?? 512;
  if (!Number.isInteger(number) || number < 1 || number > most || given.value.steps.length !== 1) {
    build.report({
      code: 'unknown-name',
      origin: given.origin,
      message: `Which port of ${controller.name}? It has ${most}: write ${controller.name}.1 to ${controller.name}.${most}.`,
      related: [{ origin: controller.origin, message: `${controller.name} stands here.` }],
    });
    return undefined;
  }
  return { controller, number };
}
