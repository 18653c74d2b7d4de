/** What pixels draw and how firmly they hold their volts, each for itself against the curve, also right at its breaks. */
import { expect, test } from 'vitest';
import type { LoadChannel } from '#server/electrics/circuit.ts';
import { drawAll, drawPixels } from '#server/electrics/solve/chain-draw.ts';
import { newChain, newChainScratch } from '#server/electrics/solve/chain-state.ts';
import { compileLoadCurve, curveAmps, curveSlope } from '#server/electrics/solve/load-curve.ts';
import { seededRandom } from '../../support/random-circuit.ts';

test('random curves at random volts, up and down', () => {
  const random = seededRandom(81);
  for (let round = 0; round < 200; round++) {
    const channels = Array.from({ length: Math.floor(4 * random()) }, (): LoadChannel => {
      const volts = 2 + 8 * random();
      const kind = Math.floor(3 * random());
      if (kind === 0) return { kind: 'regulated', amps: random(), zeroVolts: volts - 1, kneeVolts: volts };
      if (kind === 1) return { kind: 'resistive', ohms: 1 + 9 * random(), forwardVolts: volts };
      return { kind: 'converter', watts: 5 * random(), lockoutVolts: volts };
    });
    const curve = compileLoadCurve({ quiescentAmps: 0.1 * random(), quiescentVolts: 3, channels }, 0.5 + random());
    const [count, ohms] = [40, 0.1 + random()];
    const pick = () =>
      [12 * random(), 0, -1, ...curve.from][Math.floor((round % 2 ? 1 : 3 + curve.from.length) * random())]!;
    const volts = Float64Array.from({ length: count + 1 }, pick);
    const first = Math.floor(5 * random());
    const last = count - Math.floor(5 * random());
    const chain = { ...newChain(count, ohms, curve), first, last, volts };
    for (const rising of [false, true]) {
      const [own, all] = [newChainScratch(count), newChainScratch(count)];
      for (const { draw, grip } of [own, all]) {
        draw.fill(77);
        grip.fill(77);
      }
      drawPixels(chain, own, rising);
      drawAll(chain, volts, 0, count, all, rising);
      volts.forEach((u, k) => {
        const amps = curveAmps(curve, u);
        const slope = u < 0 ? 0 : curveSlope(curve, u);
        const held = rising ? Math.max(slope, 0) : slope;
        const what = `round ${round}, ${u} V of ${curve.from}`;
        expect(Math.abs(all.draw[k]! - ohms * amps), what).toBeLessThan(1e-9);
        // A slope in units of the steepest: watts at next to no volts fall very steeply.
        expect(Math.abs(all.grip[k]! - ohms * held), what).toBeLessThan(1e-9 * Math.max(1, Math.abs(ohms * held)));
        const isOwn = k >= first && k <= last;
        expect([own.draw[k], own.grip[k]]).toEqual(isOwn ? [all.draw[k], all.grip[k]] : [77, 77]);
      });
    }
  }
});
