import type { Origin } from './finding.ts';
import type { IslandCircuit, ResistorRole } from './to-circuit.ts';

/** Where a node of a circuit stands in the plan: what to call it, and the word that a person would look at. */
export interface PlaceOfNode {
  /** As the circuit calls the node: "eaves[116] V+". */
  readonly name: string;
  readonly origin: Origin | undefined;
  /** The run, feed, supply or controller that it belongs to. */
  readonly thing: string | undefined;
}

/** The nearest thing at a node: first strings, then leads, feeds and fuses, then supplies and controllers. */
export function placeOfNode(circuit: IslandCircuit, node: number): PlaceOfNode {
  const name = circuit.nodes[node] ?? 'an unknown place';
  const { stretches, resistors, sources, loads } = circuit.circuit;
  const stretch = stretches.findIndex(
    ({ positiveStart, negativeStart, positiveEnd, negativeEnd }) =>
      node === positiveEnd || node === negativeEnd || node === positiveStart || node === negativeStart,
  );
  const string = circuit.stretches[stretch];
  if (string !== undefined) return { name, origin: string.piece.origin, thing: string.run.name };
  const role = circuit.resistors[resistors.findIndex(({ a, b }) => node === a || node === b)];
  if (role !== undefined) return { name, ...ofResistor(role) };
  const isAt = ({ positive, negative }: { positive: number; negative: number }) =>
    node === positive || node === negative;
  const thing = circuit.sources[sources.findIndex(isAt)] ?? circuit.loads[loads.findIndex(isAt)];
  return { name, origin: thing?.origin, thing: thing?.name };
}

function ofResistor(role: ResistorRole): { origin: Origin; thing: string } {
  switch (role.kind) {
    case 'fuse':
      return { origin: role.output.origin, thing: role.output.supply.name };
    case 'board':
      return { origin: role.board.origin, thing: role.board.name };
    case 'link':
      return { origin: role.controller.origin, thing: role.controller.name };
    case 'port-fuse':
      return { origin: role.run.origin, thing: role.run.name };
    case 'lead':
    case 'gap':
    case 'contact':
    case 'data-plug':
      return { origin: role.piece.origin, thing: role.run.name };
    case 'feed':
    case 'tap-contact':
      return { origin: role.feed.origin, thing: role.feed.name };
    case 'bond':
      return { origin: role.bond.origin, thing: role.bond.name };
  }
}
