import { sure } from '#grammar/sure.ts';
import type { ACCEPT, EXPECT } from '#grammar/words/claims.ts';
import type { Bound, Given, PathValue, Reference } from '../bound.ts';
import type { Acceptance, AcceptedOn, Claims, Expectation, Expected } from '../claims.ts';
import type { BoundStatement } from '../declarations.ts';
import type { Report } from '../finding.ts';
import { kindsOfPlan } from '../kinds.ts';
import { type NameContext, Names, nameOrigin } from '../names.ts';
import type { Named, NameUse, Place, Plan, Route } from '../plan.ts';
import { routeBetween } from '../route-between.ts';
import { jointIn, stringsOf } from './feeds.ts';

/** Expectations and accepted findings. They are read when the rest of the plan stands, and nothing depends on them. */

export type ClaimStatement = Extract<BoundStatement, { word: 'expect' | 'accept' }>;

export function isClaim(statement: BoundStatement): statement is ClaimStatement {
  return statement.word === 'expect' || statement.word === 'accept';
}

export function buildClaims(
  plan: Plan,
  statements: readonly ClaimStatement[],
  report: Report,
): { claims: Claims; uses: readonly NameUse[] } {
  const uses: NameUse[] = [];
  const names = { report, uses, kindOf: kindsOfPlan(plan) };
  const ctx: Context = { plan, ...names, places: namesIn(names, 'place', plan.places) };
  const expectations: Expectation[] = [];
  const acceptances: Acceptance[] = [];
  for (const statement of statements) {
    if (statement.word === 'expect') expectations.push(...(expectationOf(ctx, statement) ?? []));
    else acceptances.push(...(acceptanceOf(ctx, statement) ?? []));
  }
  return { claims: { expectations, acceptances }, uses };
}

interface Context extends NameContext {
  readonly plan: Plan;
  readonly places: Names<Place>;
}

function namesIn<T extends Named>(ctx: NameContext, kind: string, map: ReadonlyMap<string, T>): Names<T> {
  // Nothing is added to it here.
  return new Names<T>(ctx, kind, map as Map<string, T>);
}

function expectationOf(ctx: Context, statement: Bound<typeof EXPECT>): [Expectation] | undefined {
  const { side, limit, look, share } = statement.fields;
  const subject = subjectOf(ctx, statement);
  if (subject === undefined || side === undefined || limit === undefined) return undefined;
  const quantity = limit.value.dimension as Expectation['quantity'];
  const may = QUANTITIES[subject.kind];
  if (!may.includes(quantity)) {
    ctx.report({
      code: 'wrong-dimension',
      origin: limit.origin,
      message: `${SUBJECTS[subject.kind]} has no ${NOUNS[quantity]} to expect. Expect ${may.map((each) => EXAMPLES[each]).join(' or ')}.`,
    });
    return undefined;
  }
  if (quantity === 'voltage' && limit.value.si > MOST_VOLTS) {
    ctx.report({
      code: 'impossible-value',
      origin: limit.origin,
      message: `${limit.text} cannot be real here: a display runs on ${MOST_VOLTS} V at most.`,
    });
    return undefined;
  }
  const line = statement.line.declaration.text.slice(statement.keyword.end, statement.line.end);
  const { design } = ctx.plan;
  return [
    {
      subject,
      side: side.value,
      limit: limit.value.si,
      quantity,
      look: look?.value ?? design.look.value,
      brightness: share?.value.si ?? design.brightness.value,
      text: line.trim().replaceAll(/\s+/g, ' '),
      origin: statement.line,
      limitOrigin: limit.origin,
    },
  ];
}

/** As for the set voltage of a supply: what is more is no low voltage (IEC 61140 ends extra-low voltage at 120 V of ripple-free direct current; trade supplies end at 48 V). */
const MOST_VOLTS = 60;

const QUANTITIES: Readonly<Record<Expected['kind'], readonly Expectation['quantity'][]>> = {
  pixels: ['voltage', 'current'],
  joint: ['voltage'],
  feed: ['current', 'voltage'],
  supply: ['current', 'power', 'voltage'],
  circuit: ['current'],
  route: ['cables'],
};

const SUBJECTS: Readonly<Record<Expected['kind'], string>> = {
  pixels: 'A run',
  joint: 'A joint',
  feed: 'A feed',
  supply: 'A supply',
  circuit: 'A circuit',
  route: 'A route',
};

const NOUNS: Readonly<Record<Expectation['quantity'], string>> = {
  voltage: 'voltage',
  current: 'current',
  power: 'power',
  cables: 'cables',
};

const EXAMPLES: Readonly<Record<Expectation['quantity'], string>> = {
  voltage: 'volts (11 V)',
  current: 'amperes (5 A)',
  power: 'watts (250 W)',
  cables: 'cables (4 cables)',
};

function subjectOf(ctx: Context, statement: Bound<typeof EXPECT>): Expected | undefined {
  const { tap, feed, supply, circuit, route } = statement.fields;
  const given = [tap, feed, supply, circuit, route].filter((each) => each !== undefined);
  const second = given[1];
  if (second !== undefined) {
    const message = 'An expect line is about one thing; write a line of its own for each.';
    ctx.report({ code: 'unexpected-word', origin: second.origin, message });
    return undefined;
  }
  if (tap !== undefined) return pixelsOf(ctx, tap);
  if (route !== undefined) {
    const found = routeOf(ctx, route);
    return found === undefined ? undefined : { kind: 'route', route: found };
  }
  if (feed !== undefined) {
    const found = namesIn(ctx, 'feed', ctx.plan.feeds).refer(feed);
    return found === undefined ? undefined : { kind: 'feed', feed: found };
  }
  if (supply !== undefined) {
    const found = namesIn(ctx, 'supply', ctx.plan.supplies).refer(supply);
    return found === undefined ? undefined : { kind: 'supply', supply: found };
  }
  if (circuit !== undefined) {
    const found = namesIn(ctx, 'circuit', ctx.plan.circuits).refer(circuit);
    return found === undefined ? undefined : { kind: 'circuit', circuit: found };
  }
  if (!['feed', 'supply', 'circuit', 'route'].some((word) => statement.said.has(word))) {
    ctx.report({
      code: 'missing-phrase',
      origin: statement.keyword,
      message: 'What is expected to hold? Name a run, or a feed, supply, circuit or route: expect eaves at least 11 V',
    });
  }
  return undefined;
}

/** A run or part of it, or one joint of it. */
function pixelsOf(ctx: Context, given: Given<Reference>): Expected | undefined {
  const runs = namesIn(ctx, 'run', ctx.plan.runs);
  const found = stringsOf({ runs, report: ctx.report, uses: ctx.uses }, given);
  if (found === undefined) return undefined;
  if (found.pixel === undefined)
    return { kind: 'pixels', run: found.run, pieces: found.chosen, whole: given.value.steps.length === 0 };
  const tap = jointIn(ctx, found.run, found.chosen, found.pixel, given);
  return tap === undefined ? undefined : { kind: 'joint', run: found.run, piece: tap.piece, pixel: tap.pixel };
}

function placesIn(ctx: Context, given: Given<PathValue>): readonly [Place, Place] | undefined {
  const [from, to, ...more] = given.value.places.map((place) => ctx.places.find(place.name, place.origin));
  if (more.length > 0) {
    ctx.report({ code: 'unexpected-word', origin: given.origin, message: 'One route joins two places: shed to roof.' });
    return undefined;
  }
  return from === undefined || to === undefined ? undefined : [from, to];
}

function routeOf(ctx: Context, given: Given<PathValue>): Route | undefined {
  const places = placesIn(ctx, given);
  if (places === undefined) return undefined;
  const route = routeBetween(ctx.plan.routes, ...places);
  if (route === undefined) {
    const [from, to] = places;
    const message = `No route joins ${from.name} and ${to.name}. Write: route ${from.name} to ${to.name}  10 m`;
    ctx.report({ code: 'unknown-name', origin: given.origin, message });
  }
  return route;
}

function acceptanceOf(ctx: Context, statement: Bound<typeof ACCEPT>): [Acceptance] | undefined {
  const { code, thing, route, everywhere, reason } = statement.fields;
  if (code === undefined || reason === undefined) return undefined;
  if (reason.value.trim() === '') {
    const message = 'Say why it is left as it is: because "stays at 30 % all season".';
    ctx.report({ code: 'missing-phrase', origin: reason.origin, message });
    return undefined;
  }
  const base = { code: code.value, codeOrigin: code.origin, reason: reason.value, origin: statement.line };
  const given = [thing, route, everywhere].filter((each) => each !== undefined);
  if (given.length !== 1) {
    if (given.length > 1 || !(statement.said.has('thing') || statement.said.has('route')))
      ctx.report({
        code: 'missing-phrase',
        origin: given[1]?.origin ?? statement.keyword,
        message: 'Say once where it is accepted: of eaves, along shed to roof, or everywhere.',
      });
    return undefined;
  }
  if (everywhere !== undefined) return [{ on: undefined, ...base }];
  const on = thing === undefined ? alongRoute(ctx, sure(route)) : thingNamed(ctx, thing);
  return on === undefined ? undefined : [{ on, ...base }];
}

function alongRoute(ctx: Context, given: Given<PathValue>): AcceptedOn | undefined {
  const places = placesIn(ctx, given);
  return places === undefined ? undefined : { kind: 'route', from: places[0], to: places[1] };
}

function thingNamed(ctx: Context, given: Given<Reference>): AcceptedOn | undefined {
  const { plan } = ctx;
  const { name, steps } = given.value;
  if (steps.length > 0) {
    const runs = namesIn(ctx, 'run', plan.runs);
    const found = stringsOf({ runs, report: ctx.report, uses: ctx.uses }, given);
    return found === undefined ? undefined : { kind: 'lines', names: found.chosen.map((piece) => piece.origin) };
  }
  const things = new Map<string, Named>();
  const same: Named[] = [];
  for (const map of MAPS) {
    for (const [key, each] of plan[map] as ReadonlyMap<string, Named>) if (!things.has(key)) things.set(key, each);
    const found = (plan[map] as ReadonlyMap<string, Named>).get(name);
    if (found !== undefined) same.push(found);
  }
  const first = namesIn({ report: ctx.report, uses: ctx.uses }, 'thing', things).find(name, nameOrigin(given));
  return first === undefined ? undefined : { kind: 'thing', name, statements: same.map((each) => each.whole) };
}

/** Where things are looked for by name, in this order. */
const MAPS = [
  'runs',
  'feeds',
  'supplies',
  'controllers',
  'circuits',
  'props',
  'bonds',
  'places',
  'pixels',
  'cables',
  'connectors',
  'supplyParts',
  'controllerParts',
] as const;
