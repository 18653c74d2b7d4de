import { sure } from '#grammar/sure.ts';
import type { BOARD } from '#grammar/words/boards.ts';
import type { Bound } from '../bound.ts';
import type { Board, CablePart, Conductor, Output } from '../plan.ts';
import { statedWay } from '../stated-cables.ts';
import { type Build, cableLength, namedBy, placesOf } from './context.ts';
import { addOutputs, outputOf } from './outputs.ts';
import { upstreamFirst } from './upstream-first.ts';

type BoardStatement = Bound<typeof BOARD>;

/** Fused boards, each after the board that it hangs on. Boards that hang on one another in a ring are left out. */
export function addBoards(build: Build, statements: readonly BoardStatement[]): void {
  const { ordered, rings } = upstreamFirst(statements, (statement) => {
    const name = statement.fields.from?.value.name;
    return name === undefined || build.supplies.map.has(name) ? undefined : name;
  });
  for (const statement of ordered) addBoard(build, statement);
  for (const statement of rings) reportRing(build, statement);
}

function addBoard(build: Build, statement: BoardStatement): void {
  const named = namedBy(statement);
  if (named === undefined) return;
  const { from, length, cable, parallel, path, place } = statement.fields;
  const output = outputOf(build, from);
  const part = build.cables.refer(cable);
  const way = placesOf(build, path);
  const at = path?.origin ?? named.origin;
  const metres = cable === undefined ? undefined : cableLength(build, length, way, at, 'board', statement.said);
  const stands = build.places.refer(place);
  if (
    output === undefined ||
    from === undefined ||
    cable === undefined ||
    metres === undefined ||
    part?.conductor === undefined
  ) {
    build.unbuilt.add(named.name);
    return;
  }
  const stated = statedWay(build.routes, length, way);
  const outputs = new Map<number, Output>();
  const board: Board = {
    kind: 'board',
    ...named,
    place: stands,
    from: output,
    fromOrigin: from.origin,
    cable: part as CablePart & { readonly conductor: Conductor },
    length: metres,
    parallel: parallel?.value ?? 1,
    path: way,
    ...(stated && { stated }),
    cableOrigin: cable.origin,
    outputs,
  };
  addOutputs(build, output.supply, board, outputs, statement.block);
  build.boards.add(board);
}

function reportRing(build: Build, statement: BoardStatement): void {
  if (statement.name === undefined) return;
  build.unbuilt.add(statement.name.text);
  build.report({
    code: 'impossible-value',
    origin: sure(statement.fields.from).origin,
    message: `${statement.name.text} hangs on itself through other boards, and no supply feeds it. Write from where its power comes.`,
  });
}
