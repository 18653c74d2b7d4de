import { sure } from '#grammar/sure.ts';
import type { Circuit, Resistor } from '../electrics/circuit.ts';
import { conductorOhms } from '../model/conductors.ts';
import type { Conditions } from '../model/corners.ts';
import { fuseOhms } from '../model/fuses.ts';
import { ownerOf } from '../model/outputs.ts';
import type { Feed, FeedPiece, Output, Run } from '../model/plan.ts';
import { type IslandCircuit, type Rails, type ResistorRole, SPLICE_OHMS } from '../model/to-circuit.ts';
import { type Choice, cableLengths } from './choice.ts';
import type { PlannedOutput } from './outputs.ts';
import type { Spot } from './spots.ts';

export type PlannedFeed = Feed & { readonly from: Output };

/** Feeds that do not stand in the plan yet, as the plan would hold them. Their origins are those of the run. */
export function plannedFeeds(
  run: Run,
  choice: Choice,
  spots: readonly Spot[],
  outputs: readonly PlannedOutput[],
): PlannedFeed[] {
  const lengths = cableLengths(choice, spots);
  const pieces = spots.map((spot, index): FeedPiece[] => [
    {
      kind: 'cable',
      length: sure(lengths[index]),
      cable: choice.cable,
      parallel: choice.parallel,
      path: choice.way?.places ?? [],
      origin: run.origin,
      cableOrigin: run.origin,
    },
    { kind: 'tap', tap: { run, ...spot, origin: run.origin }, connector: undefined, origin: run.origin },
  ]);
  const feed = (index: number, own: readonly FeedPiece[]): PlannedFeed => ({
    kind: 'feed',
    name: `${run.name} planned ${index + 1}`,
    label: undefined,
    description: undefined,
    origin: run.origin,
    whole: run.whole,
    from: outputOf(run, choice, sure(outputs[index])),
    fromOrigin: undefined,
    pieces: own,
  });
  return choice.trunk ? [feed(0, pieces.flat())] : pieces.map((own, index) => feed(index, own));
}

/** The output as it stands, or as it will with another fuse. */
function outputOf(run: Run, { supply, owner }: Choice, { number, fuse: amps }: PlannedOutput): Output {
  // An output that gets no other fuse is there.
  if (amps === undefined) return sure(owner.outputs.get(number));
  const board = owner.kind === 'board' ? owner : undefined;
  return { supply, board, number, fuse: { amps, ohms: fuseOhms(amps), origin: run.origin }, origin: run.origin };
}

/** The circuit with some feeds added at its end; their taps must be joints that the circuit knows. */
export function withFeeds(base: IslandCircuit, feeds: readonly PlannedFeed[], { celsius }: Conditions): IslandCircuit {
  const resistors: Resistor[] = [...base.circuit.resistors];
  const roles: ResistorRole[] = [...base.resistors];
  let { nodeCount } = base.circuit;
  const add = (a: number, b: number, ohms: number, role: ResistorRole) => {
    resistors.push({ a, b, ohms: Math.max(ohms, 1e-6) });
    roles.push(role);
  };
  for (const feed of feeds) {
    const start = railsOf(base, feed.from);
    let positive = outputNode(base, feed.from, start.positive);
    let negative = start.negative;
    if (positive === undefined) {
      positive = nodeCount++;
      add(start.positive, positive, sure(feed.from.fuse).ohms, { kind: 'fuse', output: feed.from });
    }
    for (const [index, piece] of feed.pieces.entries()) {
      if (piece.kind === 'cable') {
        const ohms = conductorOhms(piece.cable.conductor, piece.length, celsius, piece.parallel);
        add(positive, nodeCount, ohms, { kind: 'feed', feed, piece: index, rail: 'V+' });
        add(negative, nodeCount + 1, ohms, { kind: 'feed', feed, piece: index, rail: 'ground' });
        positive = nodeCount;
        negative = nodeCount + 1;
        nodeCount += 2;
      } else {
        const joint = sure(base.joints.get(piece.tap.piece)?.get(piece.tap.pixel));
        const role = { kind: 'tap-contact', feed, piece: index, connector: undefined } as const;
        add(positive, joint.positive, SPLICE_OHMS, { ...role, rail: 'V+' });
        add(negative, joint.negative, SPLICE_OHMS, { ...role, rail: 'ground' });
      }
    }
  }
  const circuit: Circuit = { ...base.circuit, nodeCount, resistors };
  return { ...base, circuit, resistors: roles };
}

function railsOf(base: IslandCircuit, { supply, board }: Output): Rails {
  return sure(board === undefined ? base.supplies.get(supply) : base.boards.get(board));
}

/** Behind the fuse of an output that the circuit has; undefined where it is to be added. */
function outputNode(base: IslandCircuit, output: Output, positive: number): number | undefined {
  if (ownerOf(output).outputs.get(output.number) !== output) return undefined;
  const index = base.resistors.findIndex((role) => role.kind === 'fuse' && role.output === output);
  return index < 0 ? positive : sure(base.circuit.resistors[index]).b;
}
