/** A cut that was tried leaves no trace: every number of the network is what it was before. */
import { expect, test } from 'vitest';
import { solveCut } from '#server/electrics/solve/cut.ts';
import { describe as describeNetwork } from '#server/electrics/solve/describe.ts';
import type { Network } from '#server/electrics/solve/network.ts';
import { settle } from '#server/electrics/solve/settle.ts';
import { withIdleParts } from '../../support/idle-parts.ts';
import { networkOf } from '../../support/networks.ts';
import { type PixelKind, randomCircuit, seededRandom } from '../../support/random-circuit.ts';

const kinds: readonly PixelKind[] = ['regulated', 'knees', 'resistive', 'mixed'];

/** What a solution is made of, and what the next one starts from. */
function stateOf(network: Network) {
  const { volts, flow, siemens, isLive, loose, precision, largestAmps, highestVolts, journal, step } = network;
  const chains = network.chains.map((chain) => {
    if (chain === undefined) return undefined;
    const { first, last, startAmps, endAmps, startSlope, crossSlope, endSlope } = chain;
    const ends = { startAmps, endAmps, startSlope, crossSlope, endSlope };
    return { first, last, volts: first > last ? [] : [...chain.volts!.subarray(first, last + 1)], ends };
  });
  const sets = [network.changed, network.stale, network.active, network.moved, network.dirtyRows];
  return {
    arrays: [volts, flow, siemens, isLive, step].map((array) => [...array]),
    chains,
    sizes: sets.map(({ size }) => size),
    rest: { loose, precision, largestAmps, highestVolts, journal },
  };
}

test.each(kinds)('%s pixels', (kind) => {
  for (let seed = 700; seed < 715; seed++) {
    const random = seededRandom(seed);
    const circuit = withIdleParts(randomCircuit(seed, { kinds: [kind], mostPixels: 60 }).circuit);
    const network = networkOf(circuit);
    const { isSolved, iterations } = settle(network);
    expect(isSolved).toBe(true);
    const base = describeNetwork(network, iterations);
    network.active.clear();
    for (let i = 0; i < 6; i++) {
      const resistors = Array.from({ length: 1 + (i & 1) }, () => Math.floor(random() * circuit.resistors.length));
      const cut = { resistors, sources: i > 3 ? [1] : [] };
      const before = stateOf(network);
      const excess = network.excess.slice();
      solveCut(network, base, cut, i % 3 === 0 ? 0.01 : 0);
      expect(stateOf(network), `seed ${seed}, cut ${i}`).toEqual(before);
      // The same flows may be added up in another order.
      excess.forEach((amps, node) => expect(Math.abs(network.excess[node]! - amps)).toBeLessThan(1e-9));
    }
  }
});
