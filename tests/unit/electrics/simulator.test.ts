/** Random networks of every kind, joint by joint against ngspice. */
import { beforeAll, describe, expect, test } from 'vitest';
import { solved } from '../../support/circuits.ts';
import type { PixelKind, RandomOptions } from '../../support/random-circuit.ts';
import { randomCircuit } from '../../support/random-circuit.ts';
import type { Spice } from '../../support/spice.ts';
import { startSpice } from '../../support/spice.ts';

let spice: Spice;
beforeAll(async () => {
  spice = await startSpice();
});

type Sizes = Pick<RandomOptions, 'mostPixels' | 'longest'>;

/** Relative to the joint's voltage, or to a thousandth of the supply where a joint lies that close to the reference. */
const tolerance = 1e-6;

/** Compares the networks of these seeds; returns the pixels of each stretch that was compared, by network. */
async function compare(seeds: readonly number[], kind: PixelKind, sizes: Sizes): Promise<number[][]> {
  const compared: number[][] = [];
  for (const seed of seeds) {
    const { circuit, references, nominalVolts } = randomCircuit(seed, { kinds: [kind], ...sizes });
    const solution = solved(circuit);
    expect(solution.currentResidual, `seed ${seed}: Kirchhoff`).toBeLessThan(1e-9);
    expect(solution.powerResidual, `seed ${seed}: power`).toBeLessThan(1e-9);

    // Its start is low by a hundred times what the answers may differ; from our very volts only if it fails there.
    const low = solution.nodeVolts.map((volts) => volts * 0.9999);
    const simulated = await spice
      .nodeVolts(circuit, references, low)
      .catch(() => spice.nodeVolts(circuit, references, solution.nodeVolts));
    for (let node = 0; node < circuit.nodeCount; node++) {
      const allowed = tolerance * Math.max(Math.abs(simulated[node]!), 1e-3 * nominalVolts);
      const difference = Math.abs(simulated[node]! - solution.nodeVolts[node]!);
      expect(difference, `seed ${seed}, node ${node}: ${simulated[node]} V`).toBeLessThanOrEqual(allowed);
    }
    compared.push(circuit.stretches.map(({ count }) => count));
  }
  return compared;
}

describe.each<PixelKind>(['regulated', 'knees', 'resistive', 'converter', 'mixed', 'chain'])('%s pixels', (kind) => {
  const networks = 100;
  const first = 1;
  test(`seeds ${first} to ${first + networks - 1}`, { timeout: 120_000 }, async () => {
    const seeds = Array.from({ length: networks }, (_, i) => first + i);
    expect(await compare(seeds, kind, { mostPixels: 50 })).toHaveLength(networks);
  });
});

test('stretches of up to 200 pixels with knees', { timeout: 120_000 }, async () => {
  const seeds = Array.from({ length: 20 }, (_, i) => 700 + i);
  const compared = await compare(seeds, 'knees', { mostPixels: 400, longest: 200 });
  expect(compared).toHaveLength(seeds.length);
  expect(compared.flat().filter((count) => count > 100).length).toBeGreaterThan(10);
});
