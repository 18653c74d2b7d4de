/** A network that takes the numbers of another circuit, what elements share, and how well a state says that it is solved. */
import { expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { describe as describeNetwork } from '#server/electrics/solve/describe.ts';
import { evaluate } from '#server/electrics/solve/evaluate.ts';
import { takeNumbers } from '#server/electrics/solve/network.ts';
import { singleRows } from '#server/electrics/solve/series.ts';
import { settle } from '#server/electrics/solve/settle.ts';
import { circuitOf, constantAmps, ideal, kneeAmps } from '../../support/circuits.ts';
import { networkOf } from '../../support/networks.ts';
import { randomCircuit, seededRandom } from '../../support/random-circuit.ts';

/** The same elements at the same nodes with other numbers. */
function renumbered(circuit: Circuit, seed: number): Circuit {
  const random = seededRandom(seed);
  const some = (value: number) => value * (0.8 + 0.4 * random());
  return {
    ...circuit,
    resistors: circuit.resistors.map((each) => ({ ...each, ohms: some(each.ohms) })),
    sources: circuit.sources.map((each) => ({ ...each, volts: each.volts * (0.97 + 0.03 * random()) })),
    loads: circuit.loads.map((each) => ({ ...each, scale: some(each.scale) })),
    stretches: circuit.stretches.map((each) => ({
      ...each,
      count: random() < 0.5 ? each.count : each.count + 3,
      positiveOhms: some(each.positiveOhms),
      negativeOhms: some(each.negativeOhms),
      scale: some(each.scale),
    })),
  };
}

test('a solved network that takes other numbers is evaluated as a fresh one at the same volts', () => {
  for (let seed = 1; seed <= 40; seed++) {
    const { circuit } = randomCircuit(seed, { kinds: ['regulated', 'knees'], mostPixels: 200, longest: 60 });
    const network = networkOf(circuit);
    if (!settle(network).isSolved) continue;
    const other = renumbered(circuit, seed);
    takeNumbers(network, singleRows(other));
    evaluate(network);
    const fresh = networkOf(other);
    fresh.volts.set(network.volts);
    evaluate(fresh);
    const largest = fresh.largestAmps;
    expect(network.highestVolts).toBe(Math.max(...other.sources.map(({ volts }) => volts)));
    expect(network.largestAmps / largest).toBeCloseTo(1, 9);
    for (const [t, amps] of fresh.flow.entries())
      expect(Math.abs(network.flow[t]! - amps), `seed ${seed}, terminal ${t}`).toBeLessThan(1e-7 * largest);
    for (const [e, siemens] of fresh.siemens.entries())
      expect(Math.abs(network.siemens[e]! - siemens), `seed ${seed}, branch ${e}`).toBeLessThan(1e-4 * (1 + siemens));
  }
});

/** An ideal 12 V supply with loads and stretches of some models and scales across it. */
function across(parts: Pick<Partial<Circuit>, 'loads' | 'stretches'>): Circuit {
  return circuitOf({
    nodeCount: 4,
    sources: [ideal(0, 1, 12)],
    resistors: [
      { a: 0, b: 2, ohms: 1 },
      { a: 1, b: 3, ohms: 1 },
    ],
    ...parts,
  });
}

test('a model is compiled once for each scale that comes up', () => {
  const [first, second] = [kneeAmps(0.01, 5, 6), kneeAmps(0.01, 5, 6)];
  const load = (model: typeof first, scale: number) => ({ positive: 2, negative: 3, model, scale });
  const { loadCurves } = networkOf(
    across({ loads: [load(first, 1), load(first, 0.5), load(second, 1), load(first, 1), load(first, 0.5)] }),
  );
  expect(loadCurves[3]).toBe(loadCurves[0]);
  expect(loadCurves[4]).toBe(loadCurves[1]);
  expect(new Set(loadCurves).size).toBe(3);
});

test('a solution may visit a hundred times its pixels and ten millions besides', () => {
  const stretch = (count: number) => ({
    positiveStart: 2,
    negativeStart: 3,
    positiveEnd: 0,
    negativeEnd: 1,
    count,
    positiveOhms: 0.001,
    negativeOhms: 0.001,
    model: constantAmps(0.01),
    scale: 1,
  });
  const of = (...counts: number[]) => networkOf(across({ stretches: counts.map(stretch) })).scratch;
  expect(of().mostWork).toBe(1e7);
  expect(of(70, 30).mostWork).toBe(1e7 + 100 * 100);
  // There is room for the joint, every pixel of the longest, and no need of more.
  expect(of(70, 30).inverse.length).toBe(71);
});

test('a state that is not solved does not claim to be: its residual is no less than the worst joint', () => {
  for (let seed = 1; seed <= 30; seed++) {
    const { circuit, nominalVolts } = randomCircuit(seed, { kinds: ['regulated'], mostPixels: 60, longest: 20 });
    const network = networkOf(circuit);
    if (!settle(network).isSolved) continue;
    const random = seededRandom(seed);
    for (const node of network.structure.nodeOf) network.volts[node]! += 0.01 * nominalVolts * (random() - 0.5);
    network.changed.addAll();
    evaluate(network);
    const worst = Math.max(...[...network.structure.nodeOf].map((node) => Math.abs(network.excess[node]!)));
    const { solution } = describeNetwork(network, 0);
    // What is missing of the power is what the excess at each node takes up there; no more goes round than at all terminals.
    let missing = 0;
    for (const [node, amps] of network.excess.entries()) missing += amps * (network.volts[node]! || 0);
    let most = 0;
    for (const [t, amps] of network.flow.entries())
      most += Math.abs(amps * (network.volts[network.structure.terminalNode[t]!] || 0));
    expect(Math.abs(missing)).toBeGreaterThan(0);
    expect(solution.powerResidual, `seed ${seed}`).toBeGreaterThan((1 - 1e-6) * (Math.abs(missing) / most));
    expect(worst).toBeGreaterThan(0);
    expect(solution.currentResidual, `seed ${seed}`).toBeGreaterThan((1 - 1e-9) * (worst / network.largestAmps));
  }
});
