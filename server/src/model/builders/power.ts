import type { CIRCUIT } from '#grammar/words/mains.ts';
import type { CONTROLLER, PLACE, ROUTE, SUPPLY } from '#grammar/words/site.ts';
import type { Bound, Given, Measure, Reference } from '../bound.ts';
import type { Extension, Output, Supply } from '../plan.ts';
import { routeBetween } from '../route-between.ts';
import { type Build, type CommonBuild, lineOf, namedBy, setting, siSetting } from './context.ts';
import { universesOf } from './data.ts';
import { addOutputs, outputOf } from './outputs.ts';

/** Places and routes, circuits, supplies with their outputs, controllers. */

export function addPlace(build: CommonBuild, statement: Bound<typeof PLACE>): void {
  const named = namedBy(statement);
  if (named !== undefined) build.places.add({ kind: 'place', ...named });
}

export function addRoute(build: CommonBuild, statement: Bound<typeof ROUTE>): void {
  const { path, length, limit, before: lastYear } = statement.fields;
  if (path === undefined || length === undefined) return;
  const places = path.value.places.map((place) => build.places.find(place.name, place.origin));
  const [from, to] = places;
  if (from === undefined || to === undefined) return;
  if (from === to) {
    build.report({
      code: 'impossible-value',
      origin: path.origin,
      message: `A route goes from one place to another; this one goes from ${from.name} to itself.`,
    });
    return;
  }
  const before = routeBetween(build.routes, from, to);
  if (before !== undefined) {
    build.report({
      code: 'duplicate-name',
      origin: path.origin,
      message: `There already is a route between ${from.name} and ${to.name}; the first one holds. Two ways need a place between.`,
      related: [{ origin: before.origin, message: 'The first one.' }],
    });
    return;
  }
  build.routes.push({
    from,
    to,
    length: length.value.si,
    limit,
    most: limit?.value.si,
    before: lastYear === undefined ? undefined : { cables: lastYear.value.si, origin: lastYear.origin },
    origin: path.origin,
  });
}

export function addCircuit(build: CommonBuild, statement: Bound<typeof CIRCUIT>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { amps, volts, place, residual, trip, continuous } = statement.fields;
  build.circuits.add({
    kind: 'circuit',
    ...named,
    amps: amps?.value.si,
    volts: volts?.value.si,
    ampsOrigin: amps?.origin ?? named.origin,
    residual: siSetting(residual),
    trip: setting(trip) ?? {
      value: 'B',
      origin: undefined,
      source: 'assumed: type B of IEC 60898, the soonest to trip',
    },
    continuous: siSetting(continuous) ?? { value: 0.8, origin: undefined, source: 'NEC 210.20(A), from memory' },
    extension: extensionOf(build, statement.fields),
    place: build.places.refer(place),
  });
}

/** A length without a cord, or a cord without a length, is reported: nothing can be said of either alone. */
function extensionOf(
  build: CommonBuild,
  { extension, cord }: { readonly extension?: Given<Measure>; readonly cord?: Given<Reference> },
): Extension | undefined {
  if (extension !== undefined && cord !== undefined)
    return { length: extension.value.si, cord: build.cables.refer(cord), origin: extension.origin };
  const alone = extension ?? cord;
  if (alone !== undefined) {
    build.report({
      code: 'missing-phrase',
      origin: alone.origin,
      message: 'An extension lead has a length and a cord: extension 20 m cord outdoor-cord',
    });
  }
  return undefined;
}

export function addSupply(build: Build, statement: Bound<typeof SUPPLY>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const part = build.supplyParts.refer(statement.fields.part);
  const outputs = new Map<number, Output>();
  const supply: Supply = {
    kind: 'supply',
    ...named,
    part,
    place: build.places.refer(statement.fields.place),
    circuit: build.circuits.refer(statement.fields.circuit),
    extension: extensionOf(build, statement.fields),
    boxRise: siSetting(statement.fields.rise),
    volts:
      siSetting(lineOf(statement.block, 'set')?.fields.volts) ??
      (part?.volts === undefined
        ? undefined
        : { value: part.volts, origin: undefined, source: "the part's nominal voltage" }),
    outputs,
  };
  addOutputs(build, supply, undefined, outputs, statement.block);
  build.supplies.add(supply);
}

export function addController(build: Build, statement: Bound<typeof CONTROLLER>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { part, place, from } = statement.fields;
  build.controllers.add({
    kind: 'controller',
    ...named,
    isReceiver: false,
    link: undefined,
    part: build.controllerParts.refer(part),
    place: build.places.refer(place),
    from: outputOf(build, from),
    fromOrigin: from?.origin,
    universes: universesOf(lineOf(statement.block, 'universes')?.fields),
  });
}
