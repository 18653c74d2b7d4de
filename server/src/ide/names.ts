import type { Declaration } from '#grammar/source.ts';
import { sure } from '#grammar/sure.ts';
import type { Kind } from '#grammar/words/entry.ts';
import type { Analysis } from '../analysis/analysis.ts';
import type { BoundStatement } from '../model/declarations.ts';
import type { Origin } from '../model/finding.ts';
import { outputsOf, outputText, ownerOf } from '../model/outputs.ts';
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
  Output,
  PixelPart,
  Place,
  Plan,
  Prop,
  Run,
  Supply,
  SupplyPart,
} from '../model/plan.ts';
import { originOfToken, type Token } from './token-at.ts';

/** Everything that a name can stand for. */
export type Thing =
  | Place
  | PixelPart
  | CablePart
  | ConnectorPart
  | SupplyPart
  | ControllerPart
  | Circuit
  | Mast
  | Supply
  | OutputName
  | Board
  | Controller
  | Prop
  | Run
  | Element
  | Feed
  | Bond;

export type NamedThing = Exclude<Thing, Element | OutputName>;

/** An output goes by its number, in its supply's block and behind the supply's name. */
export interface OutputName {
  readonly kind: 'output';
  readonly name: string;
  readonly origin: Origin;
  readonly output: Output;
}

/** A named line of a run or prop: a string, matrix, tree, or copies of a prop. */
export interface Element {
  readonly kind: 'element';
  readonly keyword: string;
  readonly name: string;
  /** The name, or where the line has none of its own its keyword. */
  readonly origin: Origin;
  /** Whether the name is written on the line itself. */
  readonly named: boolean;
  readonly line: Origin;
  /** The prop that is copied, or the pixel part of a string. */
  readonly madeOf: string | undefined;
  readonly owner: { readonly kind: 'run' | 'prop'; readonly name: string };
  readonly description: string | undefined;
}

/** The names of a plan: what is declared where, and where it is used. */
export interface NameIndex {
  /** What is declared at an origin. */
  readonly declaredAt: (origin: Origin) => Thing | undefined;
  /** Where a use at an origin is declared. */
  readonly targetOf: (origin: Origin) => Origin | undefined;
  /** Where what is declared at an origin is used, each place once. */
  readonly usesOf: (target: Origin) => readonly Origin[];
}

const kept = new WeakMap<Analysis, NameIndex>();

export function namesOf(analysis: Analysis): NameIndex {
  let index = kept.get(analysis);
  if (index === undefined) {
    index = makeIndex(analysis);
    kept.set(analysis, index);
  }
  return index;
}

/**
 * What asks about one place after an edit looks through the plan, which is many times faster than to make an index of it;
 * what goes on asking gets the index.
 */
function makeIndex(analysis: Analysis): NameIndex {
  let made: NameIndex | undefined;
  let asked = 0;
  const index = () => {
    made ??= indexOf(analysis);
    return made;
  };
  const best = () => (made === undefined && asked++ < FEW ? searchOf(analysis) : index());
  return {
    declaredAt: (origin) => best().declaredAt(origin),
    targetOf: (origin) => best().targetOf(origin),
    usesOf: (target) => index().usesOf(target),
  };
}

const FEW = 12;

/** The same answers as those of the index: at each place the first thing and the first use hold. */
function searchOf({ plan, statements }: Analysis): Pick<NameIndex, 'declaredAt' | 'targetOf'> {
  return {
    declaredAt(origin) {
      const named = namedAt(plan, origin);
      if (named !== undefined) return named;
      for (const thing of thingsOf(plan, statements))
        if (startsWith(thing.origin, origin)) return thing.origin.end === origin.end ? thing : undefined;
      return undefined;
    },
    targetOf(origin) {
      for (const use of plan.uses())
        if (startsWith(use.origin, origin)) return use.origin.end === origin.end ? use.target : undefined;
      return undefined;
    },
  };
}

/** The thing that has the name which is written at an origin, if that is where it is declared. */
function namedAt(plan: Plan, origin: Origin): NamedThing | undefined {
  const name = origin.declaration.text.slice(origin.start, origin.end);
  for (const map of Object.values<ReadonlyMap<string, NamedThing>>(mapsOf(plan))) {
    const thing = map.get(name);
    if (thing !== undefined && startsWith(thing.origin, origin)) return thing;
  }
  return undefined;
}

function startsWith(a: Origin, b: Origin): boolean {
  return a.declaration === b.declaration && a.start === b.start;
}

function indexOf(analysis: Analysis): NameIndex {
  const things = new OriginMap<Thing>();
  for (const thing of thingsOf(analysis.plan, analysis.statements)) things.add(thing.origin, thing);
  const targets = new OriginMap<Origin>();
  const uses = new OriginMap<Origin[]>();
  for (const { origin, target } of analysis.plan.uses()) {
    if (!targets.add(origin, target)) continue;
    const list = uses.get(target);
    if (list === undefined) uses.add(target, [origin]);
    else list.push(origin);
  }
  return {
    declaredAt: (origin) => things.get(origin),
    targetOf: (origin) => targets.get(origin),
    usesOf: (target) => uses.get(target) ?? [],
  };
}

/** Keeps one value for each place in the text; the first one that is added holds. */
class OriginMap<T> {
  private readonly map = new Map<Declaration, Map<number, { readonly end: number; readonly value: T }>>();

  add(origin: Origin, value: T): boolean {
    let inside = this.map.get(origin.declaration);
    if (inside === undefined) {
      inside = new Map();
      this.map.set(origin.declaration, inside);
    }
    if (inside.has(origin.start)) return false;
    inside.set(origin.start, { end: origin.end, value });
    return true;
  }

  get(origin: Origin): T | undefined {
    const found = this.map.get(origin.declaration)?.get(origin.start);
    return found?.end === origin.end ? found.value : undefined;
  }
}

function* thingsOf(plan: Plan, statements: readonly BoundStatement[]): Iterable<Thing> {
  yield* plan.places.values();
  yield* plan.pixels.values();
  yield* plan.panels.values();
  yield* plan.floods.values();
  yield* plan.cables.values();
  yield* plan.connectors.values();
  yield* plan.supplyParts.values();
  yield* plan.controllerParts.values();
  yield* plan.receiverParts.values();
  yield* plan.circuits.values();
  yield* plan.masts.values();
  yield* plan.supplies.values();
  yield* plan.boards.values();
  for (const output of outputsOf(plan)) yield outputName(output);
  yield* plan.controllers.values();
  yield* plan.props.values();
  yield* plan.runs.values();
  for (const statement of statements)
    if (statement.word === 'run' || statement.word === 'prop') yield* elementsOf(statement);
  yield* plan.feeds.values();
  yield* plan.bonds.values();
}

/** The lines of a run or prop that can be pointed at by name. */
export function elementsOf(statement: Extract<BoundStatement, { word: 'run' | 'prop' }>): Element[] {
  const owner = { kind: statement.word, name: statement.name?.text ?? '' };
  return statement.block.flatMap((line): Element[] => {
    const own = line.name;
    const madeOf = line.word === 'copies' ? line.fields.prop : 'part' in line.fields ? line.fields.part : undefined;
    const name = own?.text ?? (line.word === 'copies' ? madeOf?.value.name : undefined);
    if (name === undefined) return [];
    const { description } = line;
    const origin = own?.origin ?? line.keyword;
    return [
      {
        kind: 'element',
        keyword: line.word,
        name,
        origin,
        named: own !== undefined,
        line: line.line,
        madeOf: madeOf?.value.name,
        owner,
        description,
      },
    ];
  });
}

/** Where the name at a token is declared: the token itself if it declares, the target if it is a use. */
export function declarationOf(analysis: Analysis, token: Token): Origin | undefined {
  const names = namesOf(analysis);
  const origin = originOfToken(token);
  const target = names.targetOf(origin);
  if (target !== undefined) return target;
  return names.declaredAt(origin) === undefined ? undefined : origin;
}

/** What the name at a token stands for. */
export function thingAt(analysis: Analysis, token: Token): Thing | undefined {
  const origin = declarationOf(analysis, token);
  if (origin === undefined) return undefined;
  const thing = namesOf(analysis).declaredAt(origin);
  // `outputs 2 to 6` declares five things with one word; the number in the use says which.
  if (thing?.kind === 'output' && token.step?.kind === 'member') {
    // Only an output that is there is noted as used.
    return outputName(sure(ownerOf(thing.output).outputs.get(Number(token.step.name))));
  }
  return thing;
}

export function outputName(output: Output): OutputName {
  return { kind: 'output', name: outputText(output), origin: output.origin, output };
}

/** The things of a kind by their names. Outputs, ports and taps have no names of their own. */
export function namedOfKind(
  plan: Plan,
  kind: Exclude<Kind, 'output' | 'port' | 'tap'>,
): ReadonlyMap<string, NamedThing> {
  return mapsOf(plan)[kind];
}

function mapsOf(plan: Plan) {
  return {
    place: plan.places,
    pixel: plan.pixels,
    panel: plan.panels,
    flood: plan.floods,
    cable: plan.cables,
    connector: plan.connectors,
    'supply-part': plan.supplyParts,
    'controller-part': plan.controllerParts,
    'receiver-part': plan.receiverParts,
    circuit: plan.circuits,
    supply: plan.supplies,
    board: plan.boards,
    controller: plan.controllers,
    prop: plan.props,
    run: plan.runs,
    feed: plan.feeds,
    bond: plan.bonds,
  } as const;
}
