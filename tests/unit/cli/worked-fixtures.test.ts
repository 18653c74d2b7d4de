/** Panels and floods against sums that a person can do with Ohm's law, from the text to the figures of `festoon solve`. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { festoon } from './console.ts';

function solve(files: Record<string, string>, main: string) {
  const { out, err } = festoon(['solve', '--format', 'json', main], { files });
  expect(err).toBe('');
  return JSON.parse(out);
}

const sample = (name: string, change = (text: string) => text) =>
  solve(
    Object.fromEntries(
      ['plan', 'parts'].map((file) => [
        `/plans/${file}.festoon`,
        change(readFileSync(`samples/${name}/${file}.festoon`, 'utf8')),
      ]),
    ),
    'plan.festoon',
  );

/** ohm/m: 14 and 18 AWG of the wire table (ASTM B258), stranded 2 % more; 2.5 mm2 by IEC 60228 class 5. */
const AWG_14 = 0.008451;
const AWG_18 = 0.021367;
const AREA_2_5 = 0.00798;
const SPLICE = 0.001;

describe('a flood of constant power behind a wire', () => {
  // P = V (Vs - V) / R, so V = (Vs + sqrt(Vs^2 - 4 P R)) / 2 (the upper of the two answers).
  it.each([
    [30, 10],
    [30, 60],
    [50, 40],
  ])('%i W, %i m of 14 AWG', (watts, metres) => {
    const plan = `
part flood f {
  voltage 24 V
  power   ${watts} W  lockout 15 V
  idle    0 mA
  cord    1 m of 18 AWG
}
part cable c14 {
  conductor 14 AWG
  carries   V+ ground
}
part supply ideal {
  voltage 24 V
  rated   20 A
  droop   0 mohm
}
supply s  of ideal {
  output 1
}
flood wash  1  of f
feed w  from s.1  to wash(1)  ${metres} m  of c14
`;
    const ohms = 2 * (metres * AWG_14 + SPLICE + AWG_18);
    const volts = (24 + Math.sqrt(24 * 24 - 4 * watts * ohms)) / 2;
    const { runs } = solve({ '/plans/a.festoon': plan }, 'a.festoon');
    expect(Math.abs(runs[0].leastVolts - volts)).toBeLessThan(2e-4);
    expect(Math.abs(runs[0].amps - watts / volts)).toBeLessThan(1e-4);
  });
});

describe('the floods', () => {
  const { runs, supplies } = sample('floods');
  const wash = runs.find(({ name }: { name: string }) => name === 'wash');

  it('get what the ladder of two loads leaves them', () => {
    // Both sides are alike: supply 24 V with 5 mohm, 5 A fuse of 17.85 mohm, 6 m and 4 m of 14 AWG, 1 m of cord.
    // The ladder is gone through again and again until its currents stay: 30 W / V and 1 mA of idle current each.
    let [near, far] = [24, 24];
    const current = (volts: number) => 30 / volts + 0.001;
    for (let round = 0; round < 50; round++) {
      const [i1, i2] = [current(near), current(far)];
      const tap1 = 24 - 0.005 * 2 * (i1 + i2) - 0.01785 * (i1 + i2) - 2 * 6 * AWG_14 * (i1 + i2);
      const tap2 = tap1 - 2 * 4 * AWG_14 * i2;
      near = tap1 - 2 * (SPLICE + AWG_18) * i1;
      far = tap2 - 2 * (SPLICE + AWG_18) * i2;
    }
    for (const [index, volts] of [near, far, near, far].entries())
      expect(Math.abs(wash.pixelVolts[index] - volts)).toBeLessThan(5e-4);
  });

  it('keep to their own supply', () => {
    // 4 x 30 W at 23.5 to 23.8 V; 40 px of 56.5 mA and the board of 0.3 A; 60 px of 56.5 mA.
    const amps = Object.fromEntries(
      supplies.map((supply: { name: string; amps: number }) => [supply.name, supply.amps]),
    );
    expect(amps['psu-24']).toBeGreaterThan(120 / 23.8);
    expect(amps['psu-24']).toBeLessThan(120 / 23.4);
    expect(amps['psu-12']).toBeCloseTo(40 * 0.0565 + 0.3, 6);
    expect(amps['psu-5']).toBeCloseTo(60 * 0.0565, 6);
  });

  it('are full on at any look and brightness', () => {
    const dimmed = sample('floods', (text) => text.replace('frame-rate    40 fps', 'design-for    blue at 20 %'));
    expect(dimmed.runs.find(({ name }: { name: string }) => name === 'wash').amps).toBeCloseTo(wash.amps, 9);
    // A bullet draws a fifth of one of its three colours, and what it draws when dark.
    expect(dimmed.supplies[1].amps).toBeCloseTo(40 * (0.2 * 0.0185 + 0.001) + 0.3, 6);
  });
});

describe('the sign', () => {
  const { runs, supplies } = sample('sign');

  it('draws eight times four amperes and what its board draws', () => {
    expect(supplies[0].amps).toBeCloseTo(8 * 4 + 0.5, 6);
    expect(runs[0].amps).toBeCloseTo(32, 6);
  });

  it('gives each panel what its feed leaves', () => {
    // V+ of the first panel of a feed: 5.2 V - 32.5 A x 1 mohm, fuse, 8 A through 1 m of 2.5 mm2, 4 A through splice and
    // 0.3 m of cord. A 15 A fuse has 4.8 mohm cold. The second: 4 A through 0.4 m more. Ground takes as much again but
    // for what the thin ribbon carries between feeds, which is little at the far end of the chain.
    const rail = (more: number) => 8 * AREA_2_5 + 4 * (more * AREA_2_5 + SPLICE + 0.3 * AWG_18);
    const supply = 5.2 - 32.5 * 0.001;
    const [first, second] = [0, 0.4].map((more) => supply - 8 * 0.0048 - 2 * rail(more));
    expect(Math.abs(runs[0].pixelVolts[6] - (first ?? 0))).toBeLessThan(0.01);
    expect(Math.abs(runs[0].pixelVolts[7] - (second ?? 0))).toBeLessThan(0.01);
    // Near the board the ribbon's lead brings ground back too, so the first panels have a little more.
    expect(runs[0].pixelVolts[0]).toBeGreaterThan(first ?? 9);
  });

  it('draws a third when one colour is lit, half of that at half brightness', () => {
    // 0.1 A idle and half of a third of the other 3.9 A: 0.75 A a panel.
    const red = sample('sign', (text) => text.replace('frame-rate    40 fps', 'design-for    red at 50 %'));
    expect(red.runs[0].amps).toBeCloseTo(8 * (0.1 + 3.9 / 3 / 2), 6);
  });

  it('shows its picture 128 times a second', () => {
    // 16 turns of 4 + (1 + 2 + 4 + 8) shifts of 8 x 64 clocks at 20 MHz.
    expect(runs[0].frameSeconds).toBeCloseTo((16 * 19 * 512) / 20e6, 12);
  });
});
