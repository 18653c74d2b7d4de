import { sure } from '#grammar/sure.ts';
import type { FLOOD, PANELS } from '#grammar/words/fixtures.ts';
import { awgArea } from '../../electrics/conductor.ts';
import type { Bound, Given, Measure } from '../bound.ts';
import { conductorOf } from '../conductors.ts';
import type { Origin } from '../finding.ts';
import type { CablePart, PixelPart, StringLine, WholePart } from '../plan.ts';
import { type Build, namedBy } from './context.ts';
import { Layout } from './layout.ts';

/** Panels on the ribbon of a run, and floods: a run of their own without a port. */

const RIBBON_METRES = 0.3;

/** Three of the sixteen wires are ground, 28 AWG each, about 1 A each (common practice, from memory). */
const RIBBON_GROUNDS = 3;
const RIBBON_AMPS = 3;

export function layOutPanels(build: Build, layout: Layout, line: Bound<typeof PANELS>): void {
  const { rows, columns, part: given, ribbon, cable } = line.fields;
  const part = build.panels.refer(given);
  const through = build.cables.refer(cable) ?? (line.said.has('cable') ? undefined : ribbonPart(line.line));
  if (rows === undefined || columns === undefined || given === undefined) return;
  // What is missing in the part has been reported there.
  if (part?.panel === undefined) return;
  const between = { length: ribbon?.value.si ?? RIBBON_METRES, cable: through };
  const count = rows.value.si * columns.value.si;
  const origins = { origin: line.name?.origin ?? line.keyword, partOrigin: given.origin, countOrigin: rows.origin };
  layOutFixtures(layout, lineOf('panels', line.name?.text, line.fields.label?.value, count, part, origins), between);
}

export function addFlood(build: Build, statement: Bound<typeof FLOOD>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { count, part: given, place } = statement.fields;
  const part = build.floods.refer(given);
  const layout = new Layout(build, named.name, named.origin);
  if (part !== undefined && given !== undefined && count !== undefined) {
    const origins = { origin: named.origin, partOrigin: given.origin, countOrigin: count.origin };
    layOutFixtures(layout, lineOf('flood', undefined, undefined, count.value, part, origins), undefined);
  }
  build.runs.add({
    kind: 'run',
    ...named,
    controller: undefined,
    port: undefined,
    portOrigin: undefined,
    pin: undefined,
    place: build.places.refer(place),
    pieces: layout.pieces,
    pixelCount: layout.pixelCount,
  });
}

interface Origins {
  readonly origin: Origin;
  readonly partOrigin: Origin;
  readonly countOrigin: Origin;
}

function lineOf(
  keyword: string,
  name: string | undefined,
  label: string | undefined,
  strands: number,
  part: PixelPart,
  origins: Origins,
): StringLine {
  const pitch = sure(part.cord);
  return {
    kind: 'string',
    keyword,
    name,
    label,
    strands,
    perStrand: 1,
    part,
    pitch,
    spacing: 0,
    across: 0,
    ...origins,
  };
}

/** One piece for each panel or flood; between panels lies the ribbon. */
function layOutFixtures(
  layout: Layout,
  line: StringLine,
  ribbon: { readonly length: number; readonly cable: CablePart | undefined } | undefined,
): void {
  const { part, origin } = line;
  if (part?.wire === undefined || part.volts === undefined) return;
  const whole = part as WholePart;
  for (let strand = 1; strand <= line.strands && !layout.full; strand++) {
    const wire = ribbon?.cable?.conductor;
    const follows = layout.pieces.at(-1)?.kind === 'string';
    if (ribbon !== undefined && wire !== undefined && follows)
      layout.add({ kind: 'gap', length: ribbon.length, cable: ribbon.cable, wire, bare: true, origin });
    layout.add({
      kind: 'string',
      line,
      part: whole,
      first: layout.pixelCount + 1,
      count: 1,
      pitch: line.pitch,
      element: line.name,
      copies: undefined,
      strand,
      origin,
    });
    if (!layout.full) layout.pixelCount++;
  }
}

/** The ribbon where the plan names none. */
function ribbonPart(origin: Origin): CablePart {
  const area: Given<Measure> = {
    value: { si: RIBBON_GROUNDS * awgArea(28) * 1e-6, dimension: 'area' },
    text: '3 x 28 AWG',
    origin,
  };
  return {
    kind: 'cable',
    name: 'ribbon',
    label: '16-core ribbon',
    description: undefined,
    origin,
    whole: origin,
    conductor: conductorOf(area, false),
    cores: new Set(['ground', 'data']),
    rated: { value: RIBBON_AMPS, origin: undefined, source: 'common practice, from memory' },
    price: undefined,
    source: 'common practice, from memory',
  };
}
