/**
 * One evaluation of a network at any volts: every current by its definition, every slope as the difference of two
 * evaluations, and the same numbers when only what moved is evaluated again.
 */
import { describe, expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { evaluate, touchMoved } from '#server/electrics/solve/evaluate.ts';
import { openJournal } from '#server/electrics/solve/journal.ts';
import type { Network } from '#server/electrics/solve/network.ts';
import { undoAll } from '#server/electrics/solve/settle.ts';
import { firstBranch, firstTerminal, terminalCount } from '#server/electrics/solve/structure.ts';
import { definedAmps, definedSourceAmps } from '../../support/kirchhoff.ts';
import { networkOf } from '../../support/networks.ts';
import { type PixelKind, randomCircuit, seededRandom } from '../../support/random-circuit.ts';

const kinds: readonly PixelKind[] = ['regulated', 'knees', 'resistive', 'mixed'];

/** A small network at random volts near its supplies'. */
function shaken(seed: number, kind: PixelKind, most = 0.1): { circuit: Circuit; network: Network } {
  const random = seededRandom(seed);
  const { circuit, nominalVolts } = randomCircuit(seed, { kinds: [kind], mostPixels: 40, longest: 12 });
  const network = networkOf(circuit);
  for (let node = 0; node < circuit.nodeCount; node++) network.volts[node]! += most * nominalVolts * (random() - 0.7);
  evaluate(network);
  return { circuit, network };
}

/** The matrix of the joint equations, put together from the branches of its rows. */
function matrixOf({ structure, siemens }: Network): number[][] {
  const { n, starts, branches, others } = structure.ldl;
  const matrix = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  for (let k = 0; k < n; k++) {
    for (let p = starts[k]!; p < starts[k + 1]!; p++) {
      const g = siemens[branches[p]!]!;
      matrix[k]![k]! += g;
      if (others[p]! < n) matrix[k]![others[p]!]! -= g;
    }
  }
  return matrix;
}

function excessAt(circuit: Circuit, volts: Float64Array): Float64Array {
  const network = networkOf(circuit);
  network.volts.set(volts);
  evaluate(network);
  return network.excess;
}

describe.each(kinds)('%s pixels', (kind) => {
  test('currents by their definition, and their sum at each joint', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const { circuit, network } = shaken(seed, kind);
      const { flow, volts, structure, excess } = network;
      const expected = [
        ...circuit.resistors.map(({ a, b, ohms }) => (volts[a]! - volts[b]!) / ohms),
        ...circuit.sources.map((s) => -definedSourceAmps(s, volts[s.positive]! - volts[s.negative]!)),
        ...circuit.loads.map((l) => definedAmps(l.model, l.scale, volts[l.positive]! - volts[l.negative]!)),
      ];
      expected.forEach((amps, e) => {
        expect(Math.abs(flow[2 * e]! - amps), `seed ${seed}, ${e}`).toBeLessThan(1e-9 * Math.max(1, Math.abs(amps)));
        expect(flow[2 * e + 1]).toBe(-flow[2 * e]!);
      });
      circuit.stretches.forEach((s, id) => {
        const t = firstTerminal(structure, structure.firstStretch + id);
        const [into, back, out, outBack] = flow.subarray(t, t + 4) as unknown as [number, number, number, number];
        // All that goes in comes out, and the mean of the rails, each weighed by its conductance, knows of no loads.
        expect(Math.abs(into + back + out + outBack)).toBeLessThan(1e-9 * Math.max(1, Math.abs(into)));
        const mean = (p: number, n: number) => volts[p]! / s.positiveOhms + volts[n]! / s.negativeOhms;
        const through = mean(s.positiveStart, s.negativeStart) - mean(s.positiveEnd, s.negativeEnd);
        expect(Math.abs(into + back - through / s.count)).toBeLessThan(1e-9 * Math.max(1, Math.abs(through)));
      });
      const sums = new Float64Array(circuit.nodeCount);
      structure.terminalNode.forEach((node, t) => {
        sums[node]! += flow[t]!;
      });
      sums.forEach((sum, node) => expect(excess[node]).toBeCloseTo(sum, 8));
      const sizes = [...expected, ...flow].map(Math.abs);
      expect(network.largestAmps).toBeLessThanOrEqual(Math.max(...sizes) * (1 + 1e-9));
      const single = Math.max(...expected.map(Math.abs));
      expect(network.largestAmps).toBeGreaterThanOrEqual(single * (1 - 1e-9));
    }
  });

  test('slopes are the differences of the currents', () => {
    for (let seed = 30; seed <= 38; seed++) {
      const { circuit, network } = shaken(seed, kind);
      const matrix = matrixOf(network);
      const { nodeOf } = network.structure;
      const h = 1e-7;
      const wrong: string[] = [];
      nodeOf.forEach((node, column) => {
        const [up, down] = [network.volts.slice(), network.volts.slice()];
        up[node]! += h;
        down[node]! -= h;
        const [above, below] = [excessAt(circuit, up), excessAt(circuit, down)];
        nodeOf.forEach((other, row) => {
          const difference = (above[other]! - below[other]!) / (2 * h);
          const size = Math.max(1, matrix[row]![row]!, matrix[column]![column]!);
          if (!(Math.abs(matrix[row]![column]! - difference) < 1e-4 * size))
            wrong.push(`seed ${seed}, ${other} by ${node}: ${matrix[row]![column]}, not ${difference}`);
        });
      });
      expect(wrong).toEqual([]);
    }
  });

  test('what moved alone gives what all of it gives, and can be put back', () => {
    for (let seed = 50; seed <= 70; seed++) {
      const random = seededRandom(seed);
      const { circuit, network } = shaken(seed, kind);
      const before = [network.volts, network.flow, network.excess, network.siemens].map((array) => array.slice());
      const isTried = seed % 2 === 0;
      if (isTried) openJournal(network);
      for (let round = 0; round < 3; round++) {
        const row = Math.floor(random() * network.structure.nodeOf.length);
        const node = network.structure.nodeOf[row]!;
        const was = network.volts[node]!;
        network.journal?.undo.push(() => {
          network.volts[node] = was;
        });
        network.volts[node]! += random() - 0.5;
        network.moved.add(row);
        touchMoved(network);
        network.moved.clear();
        evaluate(network);
      }
      const whole = networkOf(circuit);
      whole.volts.set(network.volts);
      evaluate(whole);
      expectClose(network.flow, whole.flow);
      expectClose(network.excess, whole.excess);
      expectClose(network.siemens, whole.siemens);
      if (!isTried) continue;
      network.journal!.undo.reverse();
      undoAll(network);
      expectClose(network.volts, before[0]!);
      expectClose(network.flow, before[1]!);
      expectClose(network.excess, before[2]!);
      expectClose(network.siemens, before[3]!);
      expect(network.active.size).toBe(0);
    }
  });
});

function expectClose(actual: Float64Array, expected: Float64Array): void {
  expect(actual.length).toBe(expected.length);
  actual.forEach((value, i) => {
    const size = Math.max(1, Math.abs(expected[i]!));
    expect(Math.abs(value - expected[i]!), `${i}: ${value}, not ${expected[i]}`).toBeLessThan(1e-7 * size);
  });
}

test('resistors and sources that are cut carry nothing and conduct nothing', () => {
  for (let seed = 80; seed < 90; seed++) {
    const { network } = shaken(seed, 'knees');
    const { structure, isLive, flow, siemens } = network;
    for (let e = 0; e < structure.firstLoad; e += 3) {
      isLive[e] = 0;
      network.changed.add(e);
    }
    evaluate(network);
    for (let e = 0; e < structure.firstLoad; e++) {
      const t = firstTerminal(structure, e);
      const flows = [...flow.subarray(t, t + terminalCount(structure, e))];
      if (isLive[e] === 0) expect(flows.map(Math.abs)).toEqual(flows.map(() => 0));
      if (isLive[e] === 0) expect(siemens[firstBranch(structure, e)]).toBe(0);
    }
  }
});

test('falling loads count as flat while a rising network is asked for', () => {
  for (let seed = 90; seed < 110; seed++) {
    const { circuit, network } = shaken(seed, 'converter', 0.3);
    network.isRising = true;
    network.changed.addAll();
    evaluate(network);
    const { firstLoad } = network.structure;
    circuit.loads.forEach((_, id) => expect(network.siemens[firstLoad + id]).toBeGreaterThanOrEqual(0));
    // A network of which no part falls is held at every joint: elimination meets no pivot below zero.
    const matrix = matrixOf(network);
    for (let k = 0; k < matrix.length; k++) {
      const pivot = matrix[k]![k]!;
      expect(pivot, `seed ${seed}`).toBeGreaterThan(-1e-9);
      for (let i = k + 1; i < matrix.length && pivot > 1e-12; i++) {
        const share = matrix[i]![k]! / pivot;
        for (let j = k; j < matrix.length; j++) matrix[i]![j]! -= share * matrix[k]![j]!;
      }
    }
  }
});
