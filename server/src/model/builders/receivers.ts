import { sure } from '#grammar/sure.ts';
import type { PART_RECEIVER, RECEIVER } from '#grammar/words/receivers.ts';
import type { Bound } from '../bound.ts';
import type { Controller, ControllerPart, Link } from '../plan.ts';
import { statedWay } from '../stated-cables.ts';
import { type Build, type CommonBuild, cableLength, lineOf, namedBy, placesOf, siSetting } from './context.ts';
import { outputOf } from './outputs.ts';
import { controllerPartOf } from './parts.ts';
import { portOf } from './runs.ts';
import { upstreamFirst } from './upstream-first.ts';

/** Remote receivers and their links. */

export function addReceiverPart(build: CommonBuild, statement: Bound<typeof PART_RECEIVER>): void {
  const part = controllerPartOf(statement);
  if (part === undefined) return;
  build.receiverParts.add({
    ...part,
    linkLimit: siSetting(lineOf(statement.block, 'link-limit')?.fields.length) ?? {
      value: 100,
      origin: undefined,
      source: 'common practice: a differential link over network cable is counted on for 100 m',
    },
  });
}

type ReceiverStatement = Bound<typeof RECEIVER>;

/** Receivers, each after the one that it goes on from. */
export function addReceivers(build: Build, statements: readonly ReceiverStatement[]): void {
  const { ordered, rings } = upstreamFirst(
    statements,
    (statement) => lineOf(statement.block, 'link')?.fields.from?.value.name,
  );
  for (const statement of ordered) addReceiver(build, statement, true);
  for (const statement of rings) {
    addReceiver(build, statement, false);
    build.report({
      code: 'impossible-value',
      origin: sure(lineOf(statement.block, 'link')?.fields.from).origin,
      message: `The link of ${statement.name?.text ?? 'this receiver'} comes back to itself and reaches no controller. Write from which port its data come.`,
    });
  }
}

function addReceiver(build: Build, statement: ReceiverStatement, hasWay: boolean): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { part, place, from } = statement.fields;
  const found = build.receiverParts.refer(part);
  const receiver: Controller = {
    kind: 'controller',
    ...named,
    isReceiver: true,
    part: found,
    place: build.places.refer(place),
    from: outputOf(build, from),
    fromOrigin: from?.origin,
    universes: undefined,
    link: hasWay ? linkOf(build, statement, found) : undefined,
  };
  build.controllers.add(receiver);
}

function linkOf(build: Build, statement: ReceiverStatement, part: ControllerPart | undefined): Link | undefined {
  const line = lineOf(statement.block, 'link');
  if (line === undefined) return undefined;
  const { from, length, path } = line.fields;
  const cable = build.cables.refer(line.fields.cable);
  const way = placesOf(build, path);
  const metres =
    line.fields.cable === undefined
      ? undefined
      : cableLength(build, length, way, path?.origin ?? line.keyword, 'link', line.said);
  if (from === undefined) return undefined;
  const sender = build.controllers.map.get(from.value.name);
  const goesOn = sender?.isReceiver === true && from.value.steps.length === 0;
  const port = goesOn ? undefined : portOf(build, from);
  const start = goesOn ? build.controllers.refer(from) : port?.controller;
  const source = start?.isReceiver === true ? start.link?.source : start;
  if (start === undefined || source === undefined || cable === undefined || metres === undefined) return undefined;
  if (start.isReceiver && !goesOn) {
    build.report({
      code: 'unknown-name',
      origin: from.origin,
      message: `${start.name} is a receiver; a link goes on from it as a whole. Write: link from ${start.name}`,
      fixes: [{ title: `Write ${start.name}`, edits: [{ origin: from.origin, text: start.name }], preferred: true }],
    });
    return undefined;
  }
  const stated = statedWay(build.routes, length, way);
  const firstPort = port?.number ?? sure(start.link).firstPort;
  const most = source.part?.ports;
  const needs = part?.ports ?? 1;
  if (!goesOn && most !== undefined && firstPort + needs - 1 > most) {
    build.report({
      code: 'unknown-name',
      origin: from.origin,
      message: `${part?.name ?? 'The receiver'} takes ${needs} ports, ${firstPort} to ${firstPort + needs - 1}; ${source.name} has ${most}. Start at ${source.name}.${Math.max(1, most - needs + 1)} or before.`,
    });
  }
  return {
    from: start,
    source,
    firstPort,
    length: metres,
    cable,
    path: way,
    ...(stated && { stated }),
    origin: line.line,
    fromOrigin: from.origin,
    lengthOrigin: sure(length ?? path).origin,
  };
}
