import { sure } from '#grammar/sure.ts';
import type { Bound, Given, Measure, PathValue } from '../bound.ts';
import type { BoundStatement } from '../declarations.ts';
import type { Origin, Report } from '../finding.ts';
import { kindsIn } from '../kinds.ts';
import { type NameContext, Names } from '../names.ts';
import type {
  Board,
  Bond,
  CablePart,
  Circuit,
  ConnectorPart,
  Controller,
  ControllerPart,
  Feed,
  Mast,
  Measurement,
  Named,
  NameUse,
  PixelPart,
  Place,
  Prop,
  Route,
  Run,
  Supply,
  SupplyPart,
} from '../plan.ts';
import { routeBetween } from '../route-between.ts';
import type { Setting } from '../setting.ts';
import { shortestWay } from '../shortest-way.ts';

/** What the builders of parts and places share: the names known so far and where to report. */
export interface CommonBuild {
  readonly report: Report;
  readonly uses: NameUse[];
  readonly places: Names<Place>;
  readonly pixels: Names<PixelPart>;
  readonly panels: Names<PixelPart>;
  readonly floods: Names<PixelPart>;
  readonly cables: Names<CablePart>;
  readonly connectors: Names<ConnectorPart>;
  readonly supplyParts: Names<SupplyPart>;
  readonly controllerParts: Names<ControllerPart>;
  readonly receiverParts: Names<ControllerPart>;
  readonly circuits: Names<Circuit>;
  readonly masts: Names<Mast>;
  readonly props: Names<Prop>;
  readonly routes: Route[];
  readonly slack: Setting<number>;
}

/** What the builders of supplies, controllers, runs, feeds and bonds share besides. */
export interface Build extends CommonBuild {
  readonly supplies: Names<Supply>;
  readonly boards: Names<Board>;
  /** Boards that have been reported and left out: what refers to them is not reported again. */
  readonly unbuilt: Set<string>;
  readonly controllers: Names<Controller>;
  readonly runs: Names<Run>;
  readonly feeds: Names<Feed>;
  readonly bonds: Names<Bond>;
  readonly measurements: Measurement[];
}

export function newCommonBuild(report: Report, slack: Setting<number>): CommonBuild {
  const uses: NameUse[] = [];
  // A thing of a kind that is built later is not known yet; its name is then just one that is not there.
  const ctx: NameContext = { report, uses, kindOf: (name) => kindsIn(build, new Map())(name) };
  const build: CommonBuild = {
    report,
    uses,
    places: new Names(ctx, 'place'),
    pixels: new Names(ctx, 'pixel part'),
    panels: new Names(ctx, 'panel part'),
    floods: new Names(ctx, 'flood part'),
    cables: new Names(ctx, 'cable part'),
    connectors: new Names(ctx, 'connector part'),
    supplyParts: new Names(ctx, 'supply part'),
    controllerParts: new Names(ctx, 'controller part'),
    receiverParts: new Names(ctx, 'receiver part'),
    circuits: new Names(ctx, 'circuit'),
    masts: new Names(ctx, 'mast'),
    props: new Names(ctx, 'prop'),
    routes: [],
    slack,
  };
  return build;
}

/** Goes on from what is common to the plan; `known` are the names of all things by kind, for hints. */
export function newBuild(common: CommonBuild, report: Report, known: KnownNames): Build {
  const uses: NameUse[] = [];
  const ctx = { report, uses, kindOf: kindsIn(common, known) };
  const names = <T extends Named>(kind: ThingKind): Names<T> =>
    new Names<T>(ctx, kind, new Map(), known.get(kind) ?? []);
  return {
    report,
    uses,
    places: common.places.reportedTo(ctx),
    pixels: common.pixels.reportedTo(ctx),
    panels: common.panels.reportedTo(ctx),
    floods: common.floods.reportedTo(ctx),
    cables: common.cables.reportedTo(ctx),
    connectors: common.connectors.reportedTo(ctx),
    supplyParts: common.supplyParts.reportedTo(ctx),
    controllerParts: common.controllerParts.reportedTo(ctx),
    receiverParts: common.receiverParts.reportedTo(ctx),
    circuits: common.circuits.reportedTo(ctx),
    masts: common.masts,
    props: common.props.reportedTo(ctx),
    routes: common.routes,
    slack: common.slack,
    supplies: names('supply'),
    boards: names('board'),
    unbuilt: new Set(),
    controllers: names('controller'),
    runs: names('run'),
    feeds: names('feed'),
    bonds: names('bond'),
    measurements: [],
  };
}

export type ThingKind = 'supply' | 'board' | 'controller' | 'run' | 'feed' | 'bond';
export type KnownNames = ReadonlyMap<ThingKind, ReadonlySet<string>>;

/**
 * Name, label and places of a statement; undefined where it has no name (reported when it was bound). A thing takes them in
 * behind a property of its own: V8 gives each object that begins with a spread a hidden class for itself alone, which
 * makes all that reads such objects slow, and a large plan larger.
 */
export function namedBy(statement: BoundStatement): Named | undefined {
  if (statement.name === undefined) return undefined;
  const label = (statement.fields as { label?: Given<string> }).label;
  return {
    name: statement.name.text,
    label: label?.value,
    description: statement.description,
    origin: statement.name.origin,
    whole: statement.whole,
  };
}

/** The line of a block that starts with a word, if it stands there. */
export function lineOf<B extends { readonly word: string }, W extends B['word']>(
  block: readonly B[],
  word: W,
): Extract<B, { word: W }> | undefined {
  return block.find((line): line is Extract<B, { word: W }> => line.word === word);
}

export function setting<T>(given: Given<T> | undefined): Setting<T> | undefined {
  return given === undefined ? undefined : { value: given.value, origin: given.origin, source: 'stated in the plan' };
}

export function siSetting(given: Given<Measure> | undefined): Setting<number> | undefined {
  return given === undefined
    ? undefined
    : { value: given.value.si, origin: given.origin, source: 'stated in the plan' };
}

/** The places along a way; none where one of them is unknown, which is reported. */
export function placesOf(build: Build, given: Given<PathValue> | undefined): readonly Place[] {
  const written = given?.value.places ?? [];
  const found = written.flatMap((place) => build.places.find(place.name, place.origin) ?? []);
  return found.length === written.length ? found : [];
}

/**
 * The length of a cable: as written, or else the routes along its way plus slack at both ends.
 * Reports when neither is there.
 */
export function cableLength(
  build: Build,
  length: Given<Measure> | undefined,
  path: readonly Place[],
  at: Origin,
  what: string,
  said: ReadonlySet<string>,
): number | undefined {
  if (length !== undefined) return length.value.si;
  // What could not be read has been reported.
  if (said.has('length') || (said.has('path') && path.length === 0)) return undefined;
  if (path.length < 2) {
    build.report({
      code: 'missing-phrase',
      origin: at,
      message: `This ${what} needs a length ("14 m") or a way ("along shed to roof") that has one.`,
    });
    return undefined;
  }
  let sum = 2 * build.slack.value;
  for (let index = 1; index < path.length; index++) {
    const [from, to] = [path[index - 1], path[index]];
    const route = routeBetween(build.routes, from, to);
    if (route === undefined) {
      reportNoRoute(build, path, index, at);
      return undefined;
    }
    sum += route.length;
  }
  return sum;
}

/** Says that no route leads to a place of the way from the one before it, and over which others it can be reached. */
function reportNoRoute(build: Build, path: readonly Place[], index: number, at: Origin): void {
  const [from, to] = [sure(path[index - 1]), sure(path[index])];
  const shortest = shortestWay(build.routes, from, to);
  if (shortest === undefined) {
    build.report({
      code: 'unknown-name',
      origin: at,
      message: `No route joins ${from.name} and ${to.name}. Write: route ${from.name} to ${to.name}  10 m`,
    });
    return;
  }
  const places = [...path.slice(0, index - 1), ...shortest.places, ...path.slice(index + 1)];
  const way = places.map((place) => place.name).join(' to ');
  build.report({
    code: 'unknown-name',
    origin: at,
    message: `No route joins ${from.name} and ${to.name} directly. Write the way over what lies between: along ${way}`,
    fixes: [{ title: `Write ${way}`, edits: [{ origin: at, text: way }], preferred: true }],
  });
}

export type { Bound };
