import { sure } from '#grammar/sure.ts';
import type { Given, Reference } from './bound.ts';
import type { BoundStatement } from './declarations.ts';

/** A supply, board, controller, run, flood, feed, bond or reading: what is joined by wire to others of its kind. All else is common to the plan. */
export type ThingStatement = Extract<
  BoundStatement,
  { word: 'supply' | 'board' | 'controller' | 'receiver' | 'run' | 'flood' | 'feed' | 'bond' | 'measured' }
>;

export function isThing(statement: BoundStatement): statement is ThingStatement {
  return THINGS.has(statement.word);
}

const THINGS: ReadonlySet<string> = new Set([
  'supply',
  'board',
  'controller',
  'receiver',
  'run',
  'flood',
  'feed',
  'bond',
  'measured',
]);

/**
 * Groups statements that name each other, directly or through others: what is electrically joined is always in one
 * group, so an edit in one group can change no volts or amps in another. Things of one kind and name are in one group
 * too, so that duplicates meet. Groups and their statements keep the order of the plan.
 */
export function groupThings(statements: readonly ThingStatement[]): ThingStatement[][] {
  const parent = statements.map((_, index) => index);
  const root = (index: number): number => {
    let at = index;
    while (parent[at] !== at) {
      const above = sure(parent[sure(parent[at])]);
      parent[at] = above;
      at = above;
    }
    return at;
  };
  const owners = new Map<string, number>();
  for (const [index, statement] of statements.entries()) {
    for (const key of keysOf(statement)) {
      const owner = owners.get(key);
      if (owner === undefined) owners.set(key, index);
      else {
        const [a, b] = [root(owner), root(index)];
        parent[Math.max(a, b)] = Math.min(a, b);
      }
    }
  }
  const groups = new Map<number, ThingStatement[]>();
  for (const [index, statement] of statements.entries()) {
    const key = root(index);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [statement]);
    else group.push(statement);
  }
  return [...groups.values()];
}

/** The statements of a plan in groups. */
export interface Groups {
  readonly statements: readonly ThingStatement[];
  readonly groups: readonly (readonly ThingStatement[])[];
  /** The group of each statement. */
  readonly places: readonly number[];
}

/**
 * Groups statements that were grouped before, most of them. Where an edit changed no name and nothing that a statement
 * names, the groups are the same, and only those with a changed statement are new lists. Undefined where any name, or the
 * order of names, may be another than before.
 */
export function regrouped(before: Groups, statements: readonly ThingStatement[]): Groups | undefined {
  const changed = changedPlaces(before.statements, statements);
  if (changed === undefined) return undefined;
  // All of a group at once: what takes the place of one statement may be another that stood elsewhere before.
  const fresh = new Map<number, Map<ThingStatement, ThingStatement>>();
  for (const at of changed) {
    const [old, statement, place] = [sure(before.statements[at]), sure(statements[at]), sure(before.places[at])];
    const inGroup = fresh.get(place) ?? new Map<ThingStatement, ThingStatement>();
    fresh.set(place, inGroup.set(old, statement));
  }
  const groups = [...before.groups];
  for (const [place, inGroup] of fresh) groups[place] = sure(groups[place]).map((each) => inGroup.get(each) ?? each);
  return { statements, groups, places: before.places };
}

/** Groups statements for the first time. */
export function grouped(statements: readonly ThingStatement[]): Groups {
  const groups = groupThings(statements);
  const places = new Map(groups.flatMap((group, place) => group.map((statement) => [statement, place])));
  return { statements, groups, places: statements.map((statement) => sure(places.get(statement))) };
}

/** Where other statements stand than before; undefined where some do not name what those named. */
function changedPlaces(
  before: readonly ThingStatement[],
  after: readonly ThingStatement[],
): readonly number[] | undefined {
  if (before.length !== after.length) return undefined;
  const changed: number[] = [];
  for (let index = 0; index < after.length; index++) {
    const old = before[index] as ThingStatement;
    const statement = after[index] as ThingStatement;
    if (old === statement) continue;
    const [from, to] = [keysOf(old), keysOf(statement)];
    if (old.word !== statement.word || old.name?.text !== statement.name?.text) return undefined;
    if (from.length !== to.length || from.some((key, at) => key !== to[at])) return undefined;
    changed.push(index);
  }
  return changed;
}

/** What shares one room of names: `name.1` is an output of one and a port of another. */
const BOXES: ReadonlySet<string> = new Set(['supply', 'board', 'controller', 'receiver']);

/** The name of a thing and all names that it refers to, each with its kind. */
function keysOf(statement: ThingStatement): string[] {
  const keys: string[] = [];
  const add = (kind: 'run' | 'box', given: Given<Reference> | undefined) => {
    if (given !== undefined) keys.push(`${kind} ${given.value.name}`);
  };
  if (statement.name !== undefined)
    keys.push(`${BOXES.has(statement.word) ? 'box' : statement.word} ${statement.name.text}`);
  switch (statement.word) {
    case 'supply':
      break;
    case 'flood':
      // Feeds and readings look for floods among the runs.
      if (statement.name !== undefined) keys.push(`run ${statement.name.text}`);
      break;
    case 'board':
    case 'controller':
      add('box', statement.fields.from);
      break;
    case 'receiver':
      add('box', statement.fields.from);
      for (const line of statement.block) add('box', line.fields.from);
      break;
    case 'run':
      add('box', statement.fields.from);
      break;
    case 'feed':
      add('box', statement.fields.from);
      add('run', statement.fields.tap);
      for (const line of statement.block) if (line.word === 'tap') add('run', line.fields.tap);
      break;
    case 'measured':
      add('run', statement.fields.tap);
      break;
    case 'bond':
      for (const side of [statement.fields.from, statement.fields.to]) add('box', side);
  }
  return keys;
}
