import { describe, expect, it } from 'vitest';
import { offsetsOf } from '#server/analysis/host.ts';
import { placeOfNode } from '#server/model/place-of-node.ts';
import type { IslandCircuit } from '#server/model/to-circuit.ts';
import { everyPlan } from '../../support/every-plan.ts';
import { hostOf, MAIN } from '../../support/plans.ts';

/** Nodes that something ends at; the others, such as the V+ of a port that gives none, carry nothing. */
function touchedIn({ circuit: { stretches, resistors, sources, loads } }: IslandCircuit): Set<number> {
  const ends = [...sources, ...loads].flatMap(({ positive, negative }) => [positive, negative]);
  const strings = stretches.flatMap((each) => [
    each.positiveStart,
    each.negativeStart,
    each.positiveEnd,
    each.negativeEnd,
  ]);
  return new Set([...ends, ...strings, ...resistors.flatMap(({ a, b }) => [a, b])]);
}

/** The solver may give up at any node: each leads to a name of the plan and to a place in its text. */
describe.each(everyPlan())('every node of $name', ({ files }) => {
  it('stands somewhere in the plan', () => {
    const { account, files: read } = hostOf(files).analyse(MAIN);
    for (const { circuit } of account.islands) {
      for (const node of touchedIn(circuit)) {
        const { name, origin, thing } = placeOfNode(circuit, node);
        expect(name).toBe(circuit.nodes[node]);
        const file = read.find(({ uri }) => uri === origin?.uri);
        if (file === undefined || origin === undefined) throw new Error(`${name} stands nowhere`);
        const at = offsetsOf(file, origin);
        expect(at !== undefined && at.end <= file.text.length && thing !== undefined, name).toBe(true);
      }
      expect(placeOfNode(circuit, circuit.nodes.length).name).toBe('an unknown place');
    }
  });
});
