/** Bad joints are planted, the circuit simulator (ngspice) says what a meter would read, and the joint must be found. */
import { beforeAll, describe, expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { explainReadings, type Reading } from '#server/electrics/explain-readings.ts';
import { constantAmps, solved } from '../../support/circuits.ts';
import { seededRandom } from '../../support/random-circuit.ts';
import { type Spice, startSpice } from '../../support/spice.ts';

/** Two strings with a connector between them, a feed at each end. Node 1 is the supply's ground. */
const resistors = [
  { a: 0, b: 2, ohms: 0.01 }, // 0 fuse
  { a: 2, b: 3, ohms: 0.04 }, // 1 near feed, V+
  { a: 4, b: 1, ohms: 0.04 }, // 2 near feed, ground
  { a: 5, b: 7, ohms: 0.01 }, // 3 connector, V+
  { a: 8, b: 6, ohms: 0.01 }, // 4 connector, ground
  { a: 2, b: 11, ohms: 0.3 }, // 5 far feed, V+
  { a: 12, b: 1, ohms: 0.3 }, // 6 far feed, ground
  { a: 11, b: 9, ohms: 0.005 }, // 7 far tap, V+
  { a: 10, b: 12, ohms: 0.005 }, // 8 far tap, ground
];
const string = { count: 40, positiveOhms: 0.002, negativeOhms: 0.002, model: constantAmps(0.055), scale: 1 };
const healthy: Circuit = {
  nodeCount: 13,
  resistors,
  sources: [{ positive: 0, negative: 1, volts: 12, ohms: 0.002, maxAmps: 50 }],
  loads: [],
  stretches: [
    { ...string, positiveStart: 3, negativeStart: 4, positiveEnd: 5, negativeEnd: 6 },
    { ...string, positiveStart: 7, negativeStart: 8, positiveEnd: 9, negativeEnd: 10 },
  ],
};
const places = [
  [3, 4],
  [5, 6],
  [7, 8],
  [9, 10],
] as const;

const planted = (id: number, extra: number): Circuit => ({
  ...healthy,
  resistors: resistors.map((resistor, index) =>
    index === id ? { ...resistor, ohms: resistor.ohms + extra } : resistor,
  ),
});

let spice: Spice;
beforeAll(async () => {
  spice = await startSpice();
});

async function readings(circuit: Circuit, noise: () => number): Promise<Reading[]> {
  // From nothing the simulator's own iteration fails at the supply's diode; it starts a little low.
  const low = solved(circuit).nodeVolts.map((volts) => volts * 0.9999);
  const volts = await spice.nodeVolts(circuit, [1], low);
  return places.map(([positive, negative]) => ({
    positive,
    negative,
    volts: (volts[positive] as number) - (volts[negative] as number) + noise(),
    sigma: 0.02,
  }));
}

describe('readings', () => {
  test('of a sound display speak against nothing', async () => {
    const found = explainReadings([{ circuit: healthy, readings: await readings(healthy, () => 0) }]);
    expect(found?.misfit).toBeLessThan(1e-6);
    expect(found?.nothingWrong).toBeGreaterThan(0.6);
  });

  // A connector's two contacts, and a feed's two conductors with its tap, act alike on what a meter sees.
  test.each([
    { what: 'a connector', id: 3, alike: [3, 4], extra: 0.15 },
    { what: 'the near feed', id: 2, alike: [1, 2], extra: 0.2 },
    { what: 'the far tap', id: 7, alike: [5, 6, 7, 8], extra: 0.6 },
    { what: 'the fuse', id: 0, alike: [0], extra: 0.1 },
  ])('name $what and how much it adds', async ({ id, alike, extra }) => {
    const found = explainReadings([{ circuit: healthy, readings: await readings(planted(id, extra), () => 0) }]);
    const suspects = found?.suspects ?? [];
    const named = suspects.filter((suspect) => alike.includes(suspect.resistor));
    expect(found?.nothingWrong).toBeLessThan(0.01);
    expect(named.map((suspect) => suspect.resistor).sort()).toEqual(alike);
    expect(named.reduce((sum, suspect) => sum + suspect.odds, 0)).toBeGreaterThan(0.9);
    for (const suspect of named) expect(suspect.extraOhms / extra).toBeCloseTo(1, 3);
  });

  test('with the noise of a meter still name the joint nearly always', async () => {
    const random = seededRandom(20_261_125);
    // Sum of twelve uniform numbers less six: near enough to a normal error of one sigma.
    const noise = () => 0.02 * (Array.from({ length: 12 }, () => random()).reduce((a, b) => a + b, 0) - 6);
    let right = 0;
    for (let trial = 0; trial < 20; trial++) {
      const found = explainReadings([{ circuit: healthy, readings: await readings(planted(3, 0.15), noise) }]);
      if ([3, 4].includes(found?.suspects[0]?.resistor ?? -1)) right++;
    }
    expect(right).toBeGreaterThanOrEqual(18);
  });

  test('without any reading say nothing', () => {
    expect(explainReadings([{ circuit: healthy, readings: [] }])).toBeUndefined();
  });
});
