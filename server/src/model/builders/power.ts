import type { CIRCUIT, CONTROLLER, PLACE, ROUTE, SUPPLY } from '#grammar/words/site.ts';
import type { Bound, Given, Reference } from '../bound.ts';
import { fuseOhms } from '../fuses.ts';
import { nameOrigin } from '../names.ts';
import type { Output, Supply } from '../plan.ts';
import { type Build, type CommonBuild, lineOf, namedBy, routeBetween, siSetting } from './context.ts';
import { universesOf } from './data.ts';

/** Places and routes, circuits, supplies with their outputs, controllers. */

export function addPlace(build: CommonBuild, statement: Bound<typeof PLACE>): void {
  const named = namedBy(statement);
  if (named !== undefined) build.places.add({ ...named, kind: 'place' });
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
  const { amps, volts, place } = statement.fields;
  build.circuits.add({
    ...named,
    kind: 'circuit',
    amps: amps?.value.si,
    volts: volts?.value.si,
    ampsOrigin: amps?.origin ?? named.origin,
    place: build.places.refer(place),
  });
}

export function addSupply(build: Build, statement: Bound<typeof SUPPLY>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const part = build.supplyParts.refer(statement.fields.part);
  const outputs = new Map<number, Output>();
  const supply: Supply = {
    ...named,
    kind: 'supply',
    part,
    place: build.places.refer(statement.fields.place),
    circuit: build.circuits.refer(statement.fields.circuit),
    volts:
      siSetting(lineOf(statement.block, 'set')?.fields.volts) ??
      (part?.volts === undefined
        ? undefined
        : { value: part.volts, origin: undefined, source: "the part's nominal voltage" }),
    outputs,
  };
  const add = (output: Output) => {
    const before = outputs.get(output.number);
    if (before === undefined) outputs.set(output.number, output);
    else {
      build.report({
        code: 'duplicate-name',
        origin: output.origin,
        message: `Output ${output.number} of ${supply.name} is there twice; the first one holds.`,
        related: [{ origin: before.origin, message: 'The first one.' }],
      });
    }
  };
  for (const line of statement.block) {
    if (line.word === 'output') {
      const { number, fuse, ohms } = line.fields;
      if (number === undefined) continue;
      add({
        supply,
        number: number.value,
        fuse:
          fuse === undefined
            ? undefined
            : { amps: fuse.value.si, ohms: ohms?.value.si ?? fuseOhms(fuse.value.si), origin: fuse.origin },
        origin: number.origin,
      });
    } else if (line.word === 'outputs') {
      const { from, to, fuse } = line.fields;
      if (from === undefined || to === undefined) continue;
      for (let number = from.value; number <= to.value; number++) {
        add({
          supply,
          number,
          fuse:
            fuse === undefined
              ? undefined
              : { amps: fuse.value.si, ohms: fuseOhms(fuse.value.si), origin: fuse.origin },
          origin: line.keyword,
        });
      }
    }
  }
  build.supplies.add(supply);
}

export function addController(build: Build, statement: Bound<typeof CONTROLLER>): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { part, place, from } = statement.fields;
  build.controllers.add({
    ...named,
    kind: 'controller',
    part: build.controllerParts.refer(part),
    place: build.places.refer(place),
    from: outputOf(build, from),
    fromOrigin: from?.origin,
    universes: universesOf(lineOf(statement.block, 'universes')?.fields),
  });
}

/** The output that `psu-a.2` names; a supply without a number is its only output. */
export function outputOf(build: Build, given: Given<Reference> | undefined): Output | undefined {
  const supply = build.supplies.refer(given);
  if (supply === undefined || given === undefined) return undefined;
  const step = given.value.steps[0];
  const some = [...supply.outputs.keys()];
  if (step === undefined) {
    const only = [...supply.outputs.values()];
    if (only.length === 1 && only[0] !== undefined) return only[0];
    build.report({
      code: 'unknown-name',
      origin: given.origin,
      message:
        some.length === 0
          ? `${supply.name} has no output yet. Write in its block: output 1  fuse 5 A`
          : `Which output of ${supply.name}? Write one of: ${some.map((n) => `${supply.name}.${n}`).join(', ')}.`,
    });
    return undefined;
  }
  const number = step.kind === 'member' ? Number(step.name) : Number.NaN;
  const output = supply.outputs.get(number);
  if (output === undefined || given.value.steps.length > 1) {
    build.report({
      code: 'unknown-name',
      origin: { ...nameOrigin(given), end: given.origin.end },
      message: `${supply.name} has no output "${step.kind === 'member' ? step.name : '?'}". ${some.length === 0 ? 'Write in its block: output 1  fuse 5 A' : `It has: ${some.join(', ')}.`}`,
      related: [{ origin: supply.origin, message: `${supply.name} stands here.` }],
    });
    return undefined;
  }
  build.uses.push({
    origin: { ...given.origin, start: step.span.start + 1, end: step.span.end },
    target: output.origin,
  });
  return output;
}
