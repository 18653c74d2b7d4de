import { exact } from '#grammar/exact.ts';
import { sure } from '#grammar/sure.ts';
import type { SEASON } from '#grammar/words/mains.ts';
import type { PLAN } from '#grammar/words/site.ts';
import type { Bound, Given } from '../bound.ts';
import type { BoundStatement } from '../declarations.ts';
import { fewMap } from '../few-map.ts';
import type { Report } from '../finding.ts';
import { isThing, type ThingStatement } from '../groups.ts';
import type { Season } from '../mains.ts';
import { always } from '../once.ts';
import type { Design, Plan } from '../plan.ts';
import { addBoards } from './boards.ts';
import { type CommonBuild, type KnownNames, lineOf, newBuild, newCommonBuild, setting, siSetting } from './context.ts';
import { dataDesignOf } from './data.ts';
import { addBond, addFeed, addMeasured } from './feeds.ts';
import { addFloodPart, addPanel } from './fixture-parts.ts';
import { addFlood } from './fixtures.ts';
import { addMast } from './mast.ts';
import { addCable, addConnector, addControllerPart, addPixel, addSupplyPart } from './parts.ts';
import { addCircuit, addController, addPlace, addRoute, addSupply } from './power.ts';
import { sparesOf } from './prices.ts';
import { addReceiverPart, addReceivers } from './receivers.ts';
import { addProp, addRun } from './runs.ts';
import { reportSharedNames } from './shared-names.ts';

const PRACTICE = 'common practice';

/**
 * Builds the plan from its bound statements. The order of declarations does not matter: kinds are taken in the
 * order in which they need one another. Never throws on what a person may write; what cannot be resolved is reported
 * and left out.
 */
export function buildPlan(statements: readonly BoundStatement[], report: Report): Plan {
  const common = buildCommon(statements, report);
  const things = buildThings(common, statements.filter(isThing), report, new Map());
  return { ...things, uses: () => [...common.build.uses, ...things.uses()] };
}

/** What all things of a plan share: its design, places, routes, parts, circuits and props. */
export interface Common {
  readonly design: Design;
  readonly build: CommonBuild;
}

export function buildCommon(statements: readonly BoundStatement[], report: Report): Common {
  const of = byWord(statements);
  const plans = of('plan');
  const design = designOf(plans[0], unitsOf(statements));
  for (const extra of plans.slice(1)) {
    report({
      code: 'duplicate-name',
      origin: extra.keyword,
      message: 'A display has one plan statement; the first one holds.',
      related: [{ origin: sure(plans[0]).keyword, message: 'The first one.' }],
    });
  }
  const build = newCommonBuild(report, design.slack);
  for (const statement of of('place')) addPlace(build, statement);
  for (const statement of of('route')) addRoute(build, statement);
  for (const statement of of('part connector')) addConnector(build, statement);
  for (const statement of of('part pixel')) addPixel(build, statement);
  for (const statement of of('part panel')) addPanel(build, statement);
  for (const statement of of('part flood')) addFloodPart(build, statement);
  for (const statement of of('part cable')) addCable(build, statement);
  for (const statement of of('part supply')) addSupplyPart(build, statement);
  for (const statement of of('part controller')) addControllerPart(build, statement);
  for (const statement of of('part receiver')) addReceiverPart(build, statement);
  for (const statement of of('circuit')) addCircuit(build, statement);
  for (const statement of of('mast')) addMast(build, statement);
  for (const statement of of('prop')) addProp(build, statement);
  return { design, build };
}

/** A plan of some things: all of them, or one group that no other thing refers to. Its uses are those of the things. */
export function buildThings(
  { design, build: common }: Common,
  statements: readonly ThingStatement[],
  report: Report,
  known: KnownNames,
): Plan {
  const of = byWord(statements);
  const build = newBuild(common, report, known);
  for (const statement of of('supply')) addSupply(build, statement);
  addBoards(build, of('board'));
  for (const statement of of('controller')) addController(build, statement);
  addReceivers(build, of('receiver'));
  for (const statement of of('run')) addRun(build, statement);
  for (const statement of of('flood')) addFlood(build, statement);
  for (const statement of of('feed')) addFeed(build, statement);
  for (const statement of of('bond')) addBond(build, statement);
  reportSharedNames(build);
  for (const statement of of('measured')) addMeasured(build, statement, design);
  return {
    design,
    places: common.places.map,
    routes: common.routes,
    pixels: common.pixels.map,
    panels: common.panels.map,
    floods: common.floods.map,
    cables: common.cables.map,
    connectors: common.connectors.map,
    supplyParts: common.supplyParts.map,
    controllerParts: common.controllerParts.map,
    receiverParts: common.receiverParts.map,
    circuits: common.circuits.map,
    masts: common.masts.map,
    supplies: fewMap(build.supplies.map),
    boards: fewMap(build.boards.map),
    controllers: fewMap(build.controllers.map),
    props: common.props.map,
    runs: fewMap(build.runs.map),
    feeds: fewMap(build.feeds.map),
    bonds: fewMap(build.bonds.map),
    measurements: exact(build.measurements),
    uses: always(exact(build.uses)),
  };
}

function byWord(statements: readonly BoundStatement[]) {
  return <W extends BoundStatement['word']>(word: W): Extract<BoundStatement, { word: W }>[] =>
    statements.filter((statement): statement is Extract<BoundStatement, { word: W }> => statement.word === word);
}

/** What the display is designed for, with defaults where the plan is silent. */
function designOf(statement: Bound<typeof PLAN> | undefined, units: Design['units']): Design {
  const block = statement?.block ?? [];
  const design = lineOf(block, 'design-for')?.fields;
  const tolerance = lineOf(block, 'tolerance')?.fields;
  const standard = <T>(value: T, source: string) => ({ value, origin: undefined, source });
  return {
    title: statement?.fields.title?.value,
    titleOrigin: statement?.fields.title?.origin,
    frameRate: siSetting(lineOf(block, 'frame-rate')?.fields.rate) ?? standard(40, PRACTICE),
    air:
      setting(lineOf(block, 'air')?.fields.range) ??
      standard({ from: 20, to: 20 }, 'the temperature of the wire tables'),
    look: setting(design?.look) ?? standard('full-white' as const, `${PRACTICE}: wires are sized for full white`),
    brightness: siSetting(design?.share) ?? standard(1, `${PRACTICE}: wires are sized for full white`),
    supplyShare:
      siSetting(lineOf(block, 'load-supplies')?.fields.share) ??
      standard(0.8, `${PRACTICE}: at most 80 % of the rating`),
    fuseShare:
      siSetting(lineOf(block, 'load-fuses')?.fields.share) ?? standard(0.8, `${PRACTICE}: at most 80 % of the rating`),
    slack: siSetting(lineOf(block, 'slack')?.fields.length) ?? standard(0.5, `${PRACTICE}: 0.3 to 1 m at each end`),
    data: dataDesignOf(block),
    boxRise:
      siSetting(lineOf(block, 'box-rise')?.fields.kelvin) ??
      standard(15, `${PRACTICE}: 10 to 20 K in a closed box, from memory`),
    season: seasonOf(lineOf(block, 'season')),
    spares: sparesOf(lineOf(block, 'spares')),
    tolerance: {
      supplies: tolerance?.supplies?.value.si ?? 0,
      pixels: tolerance?.pixels?.value.si ?? 0,
    },
    units,
  };
}

function seasonOf(line: Bound<typeof SEASON> | undefined): Season | undefined {
  const { nights, hours, share, price } = line?.fields ?? {};
  if (line === undefined || nights === undefined || hours === undefined) return undefined;
  return {
    nights: nights.value.si,
    seconds: hours.value.si,
    brightness: siSetting(share) ?? {
      value: 0.35,
      origin: undefined,
      source: `${PRACTICE}: show content averages 30 to 40 %`,
    },
    price: price?.value.si,
    origin: line.keyword,
  };
}

/** Whichever system most of the lengths are written in. */
export function unitsOf(statements: readonly BoundStatement[]): Design['units'] {
  let imperial = 0;
  let metric = 0;
  for (const statement of statements) {
    let counted = lengths.get(statement);
    if (counted === undefined) {
      counted = countLengths(statement);
      lengths.set(statement, counted);
    }
    imperial += counted.imperial;
    metric += counted.metric;
  }
  return imperial > metric ? 'imperial' : 'metric';
}

const lengths = new WeakMap<BoundStatement, { imperial: number; metric: number }>();

function countLengths(statement: BoundStatement): { imperial: number; metric: number } {
  const counted = { imperial: 0, metric: 0 };
  const look = (fields: object) => {
    for (const given of Object.values(fields) as Given<unknown>[]) {
      if ((given.value as { dimension?: unknown }).dimension !== 'length') continue;
      // A unit may stand close to its number, where no word begins: "14in".
      if (/(?<!\p{L})(?:ft|in|yd)\b/u.test(given.text)) counted.imperial++;
      else counted.metric++;
    }
  };
  look(statement.fields);
  for (const line of statement.block) look(line.fields);
  return counted;
}
