/** Every list of a network is as long as what it lists, and has no place to spare. */
import { expect, test } from 'vitest';
import { openJournal } from '#server/electrics/solve/journal.ts';
import { findSeries } from '#server/electrics/solve/series.ts';
import { usableElements } from '#server/electrics/solve/usable.ts';
import { withIdleParts } from '../../support/idle-parts.ts';
import { networkOf } from '../../support/networks.ts';
import { randomCircuit } from '../../support/random-circuit.ts';

test('networks of all kinds', () => {
  for (let seed = 800; seed < 815; seed++) {
    const circuit = withIdleParts(randomCircuit(seed, { mostPixels: 60 }).circuit);
    const { nodeCount, resistors, sources, loads, stretches } = circuit;
    const network = networkOf(circuit);
    openJournal(network);
    const { structure, islands, usable, factor } = network;
    const { ldl } = structure;
    const lengths = (of: object) =>
      Object.fromEntries(
        Object.entries(of).flatMap(([name, value]) =>
          ArrayBuffer.isView(value) || Array.isArray(value) ? [[name, (value as unknown as unknown[]).length]] : [],
        ),
      );
    const sizes = (of: object) =>
      Object.fromEntries(
        Object.entries(of).flatMap(([name, value]) =>
          typeof value === 'object' && value !== null && 'items' in value
            ? [[name, [(value.items as Int32Array).length, (value.mark as Uint8Array).length]]]
            : [],
        ),
      );

    const two = resistors.length + sources.length + loads.length;
    const elements = two + stretches.length;
    const terminals = 2 * two + 4 * stretches.length;
    const branches = two + 6 * stretches.length;
    // All nodes but those of the dark and the one at 0 V in each island.
    const dark = islands.dead.reduce((sum, isDead) => sum + isDead, 0);
    const n = nodeCount - dark - islands.isReference.reduce((sum, is) => sum + is, 0);
    expect(lengths(islands)).toEqual({ dead: nodeCount, isReference: nodeCount, guess: nodeCount });
    const each = { resistor: resistors.length, source: sources.length, load: loads.length, stretch: stretches.length };
    expect(lengths(usable)).toEqual(each);
    expect(lengths(structure)).toEqual({ terminalNode: terminals, rowOf: nodeCount, nodeOf: n });
    const live = structure.terminalNode.filter((node) => node >= 0).length;
    expect(lengths(structure.atNodes())).toEqual({ starts: nodeCount + 1, terminals: live });
    expect(lengths(network)).toEqual({
      loadCurves: loads.length,
      curves: stretches.length,
      chains: stretches.length,
      resistorSiemens: resistors.length,
      regulatedTable: 8 * stretches.length,
      regulated: stretches.length,
      isLive: elements,
      loose: network.loose.length,
      volts: nodeCount,
      flow: terminals,
      excess: nodeCount,
      siemens: branches,
      factored: branches,
      step: n,
      sides: 2,
    });
    const ofElements = [elements, elements];
    const ofRows = [n, n];
    const ofNodes = [nodeCount, nodeCount];
    expect(sizes(network)).toEqual({
      unsettled: ofElements,
      changed: ofElements,
      stale: ofNodes,
      dirty: ofElements,
      dirtyRows: ofRows,
      active: ofRows,
      moved: ofRows,
    });
    expect(sizes(network.sides)).toEqual({ 0: ofNodes, 1: ofNodes });
    expect(sizes(network.journal!)).toEqual({ elements: ofElements, nodes: ofNodes });

    // A row stands in the list of a branch once for each of its ends that is an unknown.
    const { superCount } = ldl;
    const atRows = ldl.starts[n]!;
    const [below, numbers] = [ldl.rowStarts[superCount]!, ldl.blockStarts[superCount]!];
    const updates = ldl.updateStarts[superCount]!;
    expect(ldl.n).toBe(n);
    expect(lengths(ldl)).toEqual({
      starts: n + 1,
      branches: atRows,
      others: atRows,
      targets: atRows,
      columnStarts: superCount + 1,
      superOf: n,
      rowStarts: superCount + 1,
      rows: below,
      blockStarts: superCount + 1,
      parent: superCount,
      firstChild: superCount,
      sibling: superCount,
      updateStarts: superCount + 1,
      updates,
      updateFrom: updates,
      updateTo: updates,
      updateTargetStarts: updates + 1,
      updateTargets: ldl.updateTargetStarts[updates],
    });
    expect(lengths(factor)).toMatchObject({ lower: numbers, pivots: n, stack: superCount });
    expect(sizes(factor)).toEqual({ reach: [superCount, superCount] });

    const longest = Math.max(
      ...stretches.map(({ count }, id) => (network.isLive[structure.firstStretch + id] ? count : 0)),
    );
    const room = longest + 1;
    expect(lengths(network.scratch)).toMatchObject({
      inverse: room,
      change: room,
      carry: room,
      draw: room,
      grip: room,
    });

    const series = findSeries(circuit, usableElements(circuit)!);
    const rows = series.circuit.rows.count;
    const inRows = usable.resistor.reduce((sum, is) => sum + is, 0);
    const own = { starts: rows + 1, members: inRows, rowOf: resistors.length, direction: resistors.length };
    expect(lengths(series)).toEqual(own);
    expect(lengths(series.circuit.rows)).toEqual({ a: rows, b: rows, ohms: rows });
  }
});
