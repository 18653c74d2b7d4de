/** Random networks of every kind, joint by joint against ngspice. */
import { beforeAll, describe, expect, test } from 'vitest';
import { solved } from '../../support/circuits.ts';
import type { PixelKind } from '../../support/random-circuit.ts';
import { randomCircuit } from '../../support/random-circuit.ts';
import type { Spice } from '../../support/spice.ts';
import { startSpice } from '../../support/spice.ts';

let spice: Spice;
beforeAll(async () => {
  spice = await startSpice();
});

/** Relative to the joint's voltage, or to a thousandth of the supply where a joint lies that close to the reference. */
const tolerance = 1e-6;

/** Compares the networks of these seeds; returns how many were compared. */
async function compare(seeds: readonly number[], kind: PixelKind, mostPixels = 50): Promise<number> {
  let compared = 0;
  for (const seed of seeds) {
    const { circuit, references, nominalVolts } = randomCircuit(seed, { kinds: [kind], mostPixels });
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
    compared++;
  }
  return compared;
}

describe.each<PixelKind>(['regulated', 'knees', 'resistive', 'converter', 'mixed', 'chain'])('%s pixels', (kind) => {
  const networks = 100;
  const first = 1;
  test(`seeds ${first} to ${first + networks - 1}`, { timeout: 120_000 }, async () => {
    const seeds = Array.from({ length: networks }, (_, i) => first + i);
    expect(await compare(seeds, kind)).toBe(networks);
  });
});

test('long stretches with knees, which are solved roughly first', { timeout: 120_000 }, async () => {
  const seeds = Array.from({ length: 20 }, (_, i) => 700 + i);
  expect(await compare(seeds, 'knees', 400)).toBe(seeds.length);
});
